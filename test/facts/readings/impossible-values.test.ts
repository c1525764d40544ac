import { Logger } from '@nestjs/common';
import { CalculatorsService } from '../../../src/facts/calculators/calculators.service.js';
import { goodJob, postScenario, type Scenario, SPEC_SHEET } from '../../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';
import { inText } from '../../support/told.js';

const NOW = '2026-04-02T15:00:00Z';

describe('an impossible value', () => {
  let service: Service;
  let fleet: FleetHandle;
  let scenario: Scenario;

  beforeAll(async () => {
    service = await startService({ at: NOW });
    fleet = await service.newFleet({ units: 'us' });
    scenario = await postScenario(fleet);
  });

  afterAll(() => service.stop());
  afterEach(() => jest.restoreAllMocks());

  /** Makes the clock of the calculators give what no clock gives, or fail, for the work. */
  async function withClock<T>(now: () => Date, work: () => Promise<T>): Promise<T> {
    const calculators = service.app.get<{ clock: { now(): Date } }>(CalculatorsService);
    const sound = calculators.clock;
    calculators.clock = { now };
    try {
      return await work();
    } finally {
      calculators.clock = sound;
    }
  }

  it.each<[string, () => Date, RegExp]>([
    ['an instant that is none', () => new Date(Number.NaN), /^RangeError: Non-finite number: NaN\n\s+at /],
    [
      'a date that is none',
      () => new Date(new Date(Number.NaN).toISOString()),
      /^RangeError: Invalid time value\n\s+at /,
    ],
    [
      'a stack that runs over',
      function endless(): Date {
        return endless();
      },
      /^RangeError: Maximum call stack size exceeded\n\s+at .*endless/,
    ],
    [
      'a list of no length',
      () => new Date(Object.assign([], { length: -1 }).length),
      /^RangeError: Invalid array length\n/,
    ],
    ['too many digits', () => new Date((1).toFixed(101)), /^RangeError: toFixed\(\) .*\n/],
  ])(
    'is not the fault of a client when %s comes up here: 500, and once in the log',
    async (_what, now, stack) => {
      const logged = jest.spyOn(Logger.prototype, 'error');
      const body = { readings: [{ readAt: NOW, odometer: { value: 20_000, unit: 'mi' } }] };
      const answer = await withClock(now, () => fleet.mechanic.post('/v1/calculators/projection', body));
      expect(answer).toMatchObject({ status: 500, body: { type: '/problems/internal' } });
      expect(answer.body.errors).toBeUndefined();
      expect(answer.body.detail).not.toMatch(/RangeError|invalid|stack|array/i);
      expect(logged).toHaveBeenCalledTimes(1);
      expect(logged.mock.calls[0]?.[0]).toMatchObject({
        status: 500,
        path: '/v1/calculators/projection',
        requestId: answer.body.requestId,
        msg: expect.stringMatching(stack),
      });
      expect((await fleet.mechanic.post('/v1/calculators/projection', body)).status).toBe(200);
    },
  );

  it('is refused at the field of its reading', async () => {
    const report = goodJob(scenario.vehicleId, NOW, 20_100);
    const readings = [
      {
        ...{ kind: 'hold-test', method: 'vacuum', minutes: 5 },
        ...{ start: { value: 10, unit: 'psi' }, end: { value: 25, unit: 'psi' } },
      },
      { kind: 'torque-set', fastener: 'nobody knows it', unit: 'N.m', values: [11, 0] },
      { kind: 'torque-set', fastener: 'nobody knows it', unit: 'N.m' },
      {
        kind: 'freeze-point',
        base: 'ethylene-glycol',
        method: 'refractometer',
        value: { value: 34, unit: 'C' },
      },
      { kind: 'belt-check', offset: { value: 1, unit: 'mm' }, span: { value: 0, unit: 'mm' } },
    ];
    const { status, body } = await fleet.mechanic.post('/v1/job-reports', { ...report, readings });
    expect(status).toBe(422);
    expect(inText(body.errors)).toEqual([
      { pointer: '/readings/0/end', detail: expect.stringMatching(/^25 psi of vacuum .*Was it 25 inHg\?/) },
      { pointer: '/readings/1/values/1', detail: '0 N·m must be more than 0' },
      { pointer: '/readings/2/values', detail: expect.stringMatching(/^give each torque/) },
      { pointer: '/readings/3/value', detail: expect.stringMatching(/^34 °C is warmer .*Was it -34 °C/) },
      { pointer: '/readings/4/span', detail: '0 mm must be more than 0' },
    ]);
  });

  it('on the spec sheet is refused by name, not at a field of the reading', async () => {
    const sheet = await fleet.manager.post('/v1/spec-sheets', {
      ...SPEC_SHEET,
      name: 'Ribs and length swapped',
      belts: [{ name: 'fan', designation: '188PK600' }],
    });
    expect(sheet.status).toBe(201);
    const vehicle = await fleet.manager.post('/v1/vehicles', {
      unitNumber: 'B-1',
      depotId: scenario.depotId,
      specSheetId: sheet.body.id,
    });
    const { status, body } = await fleet.mechanic.post(`/v1/vehicles/${vehicle.body.id}/readings`, {
      ...{ kind: 'belt-check', item: 'fan', takenAt: NOW, ribsSeated: true },
      ...{ offset: { value: 0, unit: 'mm' }, span: { value: 300, unit: 'mm' } },
    });
    expect(status).toBe(422);
    expect(body.errors).toEqual([
      {
        pointer: '',
        code: 'unplaced-fault',
        values: {
          field: 'designation',
          fault: {
            code: 'belt-designation-ribs',
            values: { designation: '188PK600', ribs: 188 },
            text: expect.stringMatching(/^188PK600 has 188 ribs; a PK belt has/),
          },
        },
        detail: expect.stringMatching(/^designation: 188PK600 has 188 ribs; a PK belt has/),
      },
    ]);
  });

  // Deeper than any stack: what walks a body has to be looked at before it is walked.
  it.each(['/v1/job-reports', '/v1/job-reports/batch', '/v1/usage-readings', '/v1/calculators/projection'])(
    'is refused by %s even if nested deeper than a stack',
    async (path) => {
      const deep = `${'['.repeat(200_000)}${']'.repeat(200_000)}`;
      const list = path.endsWith('batch') ? 'reports' : 'readings';
      for (const text of [deep, `{"${list}":${deep}}`, `{"${list}":[{"id":${deep}}]}`]) {
        for (const headers of [{}, { 'idempotency-key': 'deep' }] as Record<string, string>[]) {
          const { status, body } = await fleet.manager.send('POST', path, text, headers);
          expect(status).toBeGreaterThanOrEqual(200);
          expect(status).toBeLessThan(500);
          for (const result of body.results ?? []) expect(result.status ?? 422).not.toBe(500);
        }
      }
    },
  );
});
