import { foreignIds, mutationsOf } from '../../support/mutations.js';
import { MAKING, OPERATIONS } from '../../support/hostile/endpoints.js';
import { complaint, itemComplaint, startTrial, type Trial } from '../../support/hostile/trial.js';
import { inText } from '../../support/told.js';

describe('a request to make a record', () => {
  let trial: Trial;

  beforeAll(async () => {
    trial = await startTrial();
  });
  afterAll(() => trial?.service.stop());

  it('is tried at every POST and PATCH in the API document', async () => {
    const { body } = await trial.service.client(null).get('/openapi.json');
    const listed = Object.entries<Record<string, any>>(body.paths).flatMap(([path, item]) =>
      Object.entries(item)
        .filter(([method]) => ['post', 'put', 'patch'].includes(method))
        // csv-files.test.ts and attachments.test.ts cover uploads of files.
        .filter(
          ([, { requestBody }]) =>
            requestBody?.content?.['application/json'] !== undefined ||
            ['text/csv', 'multipart/form-data'].every((type) => requestBody?.content?.[type] === undefined),
        )
        .map(([method]) => `${method} ${path}`)
        // sign-in.test.ts covers the one request that needs no token.
        .filter((operation) => operation !== 'post /v1/sessions'),
    );
    expect([...new Set(OPERATIONS.map((operation) => operation.replace(/ \(.*/, '')))].sort()).toEqual(
      listed.sort(),
    );
  });

  it.each(MAKING)('%s accepts a good body', async (operation) => {
    const endpoint = trial.endpointOf(operation);
    const { status, body } = await trial.send(endpoint, JSON.stringify(endpoint.body()));
    expect([status, inText(body.errors)]).toEqual([endpoint.status, undefined]);
    expect(itemComplaint('/', body.results?.[0] ?? {}, JSON.stringify(body))).toBeNull();
  });

  it.each(MAKING)('%s names the wrong field, and stores nothing', async (operation) => {
    const endpoint = trial.endpointOf(operation);
    const before = await trial.rowsIn(endpoint.table);
    const { complaints, stored } = await trial.tryAll(endpoint, mutationsOf(endpoint.body()));
    expect(complaints).toEqual([]);
    if (endpoint.table !== null) expect((await trial.rowsIn(endpoint.table)) - before).toBe(stored);
  });

  it.each(['depots', 'spec-sheets', 'interval-plans', 'vehicles', 'job-reports', 'reminder-targets'])(
    'post /v1/%s accepts no id of another fleet, and treats it as unknown',
    async (name) => {
      const { foreignScenario } = trial;
      const endpoint = trial.endpointOf(`post /v1/${name}`);
      const ids = {
        vehicleId: foreignScenario.vehicleId,
        mountedOn: foreignScenario.vehicleId,
        depotId: foreignScenario.depotId,
        depotIds: foreignScenario.depotId,
        workedAtDepotId: foreignScenario.depotId,
        specSheetId: foreignScenario.specSheetId,
        intervalPlanId: foreignScenario.intervalPlanId,
      };
      const before = await trial.rowsIn(endpoint.table);
      for (const mutation of foreignIds(endpoint.body(), ids)) {
        const answer = await trial.send(endpoint, mutation.textOf(endpoint.body()));
        expect([mutation.pointer, answer.status]).toEqual([mutation.pointer, 422]);
        expect(complaint(endpoint, mutation, answer)).toBeNull();
        expect(JSON.stringify(answer.body)).toMatch(/no such/);
      }
      expect(await trial.rowsIn(endpoint.table)).toBe(before);
    },
  );

  it('rejects usage readings of another fleet’s vehicle, by its id and by its unit number', async () => {
    const reading = { readAt: '2026-04-01T10:00:00Z', odometer: { value: 5, unit: 'mi' } };
    const { status, body } = await trial.fleet.mechanic.post('/v1/usage-readings', {
      readings: [
        { ...reading, vehicleId: trial.foreignScenario.vehicleId },
        { ...reading, unitNumber: 'F-1' },
      ],
    });
    expect([status, body.rejected]).toEqual([200, 2]);
    expect(body.results.map((item: any) => item.reason)).toEqual(['unknown-vehicle', 'unknown-vehicle']);
  });

  it('leaves no invalid number in the tables, and no trace in another fleet', async () => {
    expect(await trial.traces()).toEqual([]);
  });
});
