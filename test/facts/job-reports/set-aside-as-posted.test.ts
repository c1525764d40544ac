import { v7 as uuidv7 } from 'uuid';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

/** Parts of a report that no reading is, and that look like what the service makes itself. */
const LOOKALIKES: unknown[] = [
  { code: 'x', values: { a: null } },
  { code: 'x', values: [null] },
  { code: 'x', values: { a: [null], b: true } },
  { code: 'x', values: { a: { measure: 'nope', value: 1 } } },
  { code: 'x', values: { a: { measure: 'distance', value: 'x', typed: { a: 1 } } } },
  { code: 'legacy', values: { text: '<b>Ours</b>' } },
  { code: 'title-internal', values: {} },
  { measure: 'distance', value: 100 },
  { kind: 'nope', inside: { code: 'title-internal', values: {} } },
  { posted: '{"measure":"distance","value":100}' },
  { posted: 'not JSON' },
  { kind: 'nope', figure: 1.2345678901234567 },
];

describe('a part of a report that is set aside', () => {
  let service: Service;
  let fleet: FleetHandle;
  let vehicleId: string;

  beforeAll(async () => {
    service = await startService({ at: '2026-06-01T12:00:00Z' });
    fleet = await service.newFleet({ units: 'us' });
    vehicleId = (await fleet.manager.post('/v1/vehicles', { unitNumber: 'R-1' })).body.id;
  });
  afterAll(() => service.stop());

  it.each(LOOKALIKES)('comes back as it was posted: %j', async (reading) => {
    const id = uuidv7();
    const body = {
      performedAt: '2026-05-01T12:00:00Z',
      lines: [{ component: 'coolant', action: 'replace' }],
    };
    const report = { ...body, id, vehicleId, readings: [reading] };
    const heldIn = ({ outcome }: any): unknown[] => outcome.held.map(({ value }: any) => value);
    for (const key of [undefined, 'once', 'once']) {
      const headers: Record<string, string> = key === undefined ? {} : { 'idempotency-key': `${key} ${id}` };
      const { status, body: answer } = await fleet.mechanic.post(
        '/v1/job-reports/batch',
        { reports: [report] },
        headers,
      );
      expect([status, answer.results[0].report.outcome.held.length]).toEqual([200, 1]);
      expect(heldIn(answer.results[0].report)).toEqual([reading]);
    }
    const read = await fleet.dashboard.get(`/v1/job-reports/${id}`);
    expect([read.status, heldIn(read.body)]).toEqual([200, [reading]]);
    const list = await fleet.dashboard.get('/v1/job-reports?limit=200', { 'accept-language': 'es' });
    expect(list.status).toBe(200);
    expect(heldIn(list.body.items.find((item: any) => item.id === id))).toEqual([reading]);
    const voided = await fleet.manager.post(`/v1/job-reports/${id}/void`, { reason: 'looked at' });
    expect([voided.status, heldIn(voided.body)]).toEqual([200, [reading]]);
  });
});
