import { Flag, NestedList } from '../../../src/platform/fields/fields.js';
import { validated } from '../../../src/platform/input/validation.pipe.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';
import { goodJob, postScenario, type Scenario } from '../../support/scenario.js';
import { inText } from '../../support/told.js';

/** As many as four megabytes hold. */
const MANY = 800_000;
const nulls = (count: number): string => `[${Array.from({ length: count }, () => 'null').join(',')}]`;

describe('a body with too many entries or errors', () => {
  let service: Service;
  let fleet: FleetHandle;
  let scenario: Scenario;

  beforeAll(async () => {
    service = await startService({ at: '2026-04-02T15:00:00Z' });
    fleet = await service.newFleet();
    scenario = await postScenario(fleet);
  });
  afterAll(() => service.stop());

  it.each(['null', '{}', '[]', '"x"', '0'])('is refused for the length of its list of %s', async (entry) => {
    const list = `[${Array.from({ length: 50_000 }, () => entry).join(',')}]`;
    for (const [path, body, pointer] of [
      ['/v1/usage-readings', `{"readings":${list}}`, '/readings'],
      ['/v1/depots', `{"name":"x","closedOn":${list}}`, '/closedOn'],
      ['/v1/spec-sheets', `{"name":"x","fasteners":${list}}`, '/fasteners'],
    ] as const) {
      const { status, body: answer } = await fleet.manager.send('POST', path, body);
      expect([path, status, inText(answer.errors)]).toEqual([
        ...[path, 422, [{ pointer, detail: expect.stringMatching(/holds 50,000 entries/) }]],
      ]);
    }
  });

  it('is refused for the number of its fields, at any depth', async () => {
    const fields = (count: number): string =>
      Array.from({ length: count }, (_, index) => `"f${index}":0`).join(',');
    const id = '01a22b98-666d-74a3-bca6-d3f2bf547597';
    for (const [method, path, body, pointer] of [
      ['POST', '/v1/depots', `{${fields(20_000)}}`, ''],
      ['POST', '/v1/depots', `{"name":"x","elevation":{${fields(501)}}}`, '/elevation'],
      ['PATCH', '/v1/fleet', `{"lossWatch":{${fields(20_000)}}}`, '/lossWatch'],
      ['POST', '/v1/spec-sheets', `{"name":"x","hoses":["a",{${fields(501)}}]}`, '/hoses/1'],
      ['POST', '/v1/job-reports', `{"vehicleId":"${id}","lines":[{${fields(501)}}]}`, '/lines/0'],
    ] as const) {
      const { status, body: answer } = await fleet.manager.send(method, path, body);
      expect([path, status, inText(answer.errors)]).toEqual([
        ...[path, 422, [{ pointer, detail: expect.stringMatching(/^has (20,000|501) fields/) }]],
      ]);
    }
  });

  it('is refused for it in a batch too, with the most entries that a body can hold', async () => {
    const report = (readings: string): string => {
      const { readings: _readings, ...job } = goodJob(
        scenario.vehicleId,
        '2026-04-01T08:20:00-06:00',
        20_000,
      );
      return JSON.stringify({ ...job, readings: '@' }).replace('"@"', readings);
    };
    for (const readings of [nulls(41), nulls(9000), nulls(MANY)]) {
      const { status, body } = await fleet.mechanic.send(
        'POST',
        '/v1/job-reports/batch',
        `{"reports":[${report(readings)}]}`,
      );
      const [{ problem, ...item }] = body.results;
      expect([status, item]).toEqual([200, { index: 0, status: 422 }]);
      expect(inText(problem.errors)).toEqual([
        { pointer: '/reports/0/readings', detail: expect.stringMatching(/^holds (more than 40|800,000)/) },
      ]);
    }
    const { body } = await fleet.mechanic.send('POST', '/v1/usage-readings', `{"readings":${nulls(MANY)}}`);
    expect(body.errors[0].pointer).toBe('/readings');
  });

  it('turns hardly an entry beyond the limit into an object', async () => {
    let made = 0;
    class Entry {
      @Flag({ optional: true }) isFit?: boolean;
      constructor() {
        made++;
      }
    }
    class Holder {
      @NestedList(() => Entry, { max: 10 }) entries!: Entry[];
    }
    const entries = Array.from({ length: 9000 }, () => ({}));
    await expect(validated(Holder, { entries })).rejects.toMatchObject({
      errors: [{ pointer: '/entries', detail: { code: 'field-list-too-long', values: { max: 10 } } }],
    });
    expect(made).toBeLessThan(20);
  });

  it('gets a hundred of its errors, and how many more there are', async () => {
    const surplus = Object.fromEntries(Array.from({ length: 499 }, (_, n) => [`f${n}`, n]));
    const { status, body } = await fleet.manager.post('/v1/depots', { name: 'x', ...surplus });
    expect([status, body.errors.length, body.errorsLeftOut]).toEqual([422, 100, 399]);
    expect(body.detail).toBe('499 fields are not acceptable; the first 100 are in errors.');
    const few = await fleet.manager.post('/v1/depots', { name: 'x', f1: 1, f2: 2 });
    expect([few.body.errors.length, few.body.errorsLeftOut]).toEqual([2, undefined]);
  });

  it('gets a hundred of them for a whole batch, and one for each report after them', async () => {
    const bad = { ...Object.fromEntries(Array.from({ length: 27 }, (_, n) => [`f${n}`, n])) };
    const { body } = await fleet.mechanic.post('/v1/job-reports/batch', {
      reports: Array.from({ length: 8 }, () => ({ vehicleId: scenario.vehicleId, ...bad })),
    });
    const problems = body.results.map(({ problem }: any) => problem);
    const told = problems.map(({ errors }: any) => errors.length);
    const leftOut = problems.map(({ errorsLeftOut }: any) => errorsLeftOut ?? 0);
    const inAll = told[0] + leftOut[0];
    const whole = Math.floor(100 / inAll);
    expect(told).toEqual([
      ...Array.from({ length: whole }, () => inAll),
      100 - whole * inAll,
      ...Array.from({ length: 8 - whole - 1 }, () => 1),
    ]);
    expect(new Set(problems.map(({ status }: any) => status))).toEqual(new Set([422]));
    expect(new Set(told.map((count: number, index: number) => count + leftOut[index])).size).toBe(1);
  });

  it('gets a hundred of the errors of a spreadsheet', async () => {
    const rows = Array.from({ length: 300 }, (_, n) => `V-${n},no such depot`);
    const { status, body } = await fleet.manager.send(
      'POST',
      '/v1/vehicles/import',
      ['unitNumber,depot', ...rows].join('\n'),
      { 'content-type': 'text/csv' },
    );
    expect([status, body.errors.length, body.errorsLeftOut]).toEqual([422, 100, 200]);
  });
});
