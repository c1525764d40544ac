import type { EntityManager } from 'typeorm';
import { rebuildAll } from '../../../src/conclusions/pipeline/rebuild.js';
import {
  type TakenTemperatures,
  TemperaturesService,
} from '../../../src/facts/temperatures/temperatures.service.js';
import { statementListeners } from '../../../src/platform/database/scoped-pool.js';
import { Transactions } from '../../../src/platform/database/transactions.js';
import { inFleet } from '../../../src/platform/scope/fleet-scope.js';
import { schema } from '../../../src/schema.js';
import type { Client } from '../../support/client.js';
import { postScenario } from '../../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';
import { inText } from '../../support/told.js';

const NOW = '2026-04-02T20:00:00Z';
const MINUTE = 60_000;
/** Midnight of that day in the fleet's zone, America/Denver (UTC−6 in summer). */
const MIDNIGHT = Date.parse('2026-04-02T06:00:00Z');

interface Sample {
  minute: number;
  celsius: number;
  midnight?: number;
}

const HOT: Sample[] = [
  ...[20, 55, 84, 92, 95].map((celsius, index) => ({ minute: 480 + 5 * index, celsius })),
  ...[108, 110, 112, 109, 98].map((celsius, index) => ({ minute: 600 + 5 * index, celsius })),
];

describe('coolant temperatures', () => {
  let service: Service;
  let fleet: FleetHandle;
  let vehicleId: string;
  let specSheetId: string;

  beforeAll(async () => {
    service = await startService({ at: NOW });
  });
  afterAll(() => service.stop());
  beforeEach(async () => {
    service.clock.moveTo(NOW);
    fleet = await service.newFleet({ units: 'si' });
    ({ vehicleId, specSheetId } = await postScenario(fleet, { unitNumber: 'R-12' }));
    await limits(107);
  });

  async function limits(alarm: number | null): Promise<void> {
    const { status, body } = await fleet.manager.patch(`/v1/spec-sheets/${specSheetId}`, {
      coolant: {
        highTemperatureAlarm: alarm === null ? null : { value: alarm, unit: 'C' },
        thermostatOpens: { value: 82, unit: 'C' },
      },
    });
    expect([status, inText(body.errors)]).toEqual([200, undefined]);
  }
  const send = (samples: object[], client: Client = fleet.mechanic) =>
    client.post('/v1/coolant-temperatures', { samples });
  const bodyOf = ({ minute, celsius, midnight = MIDNIGHT }: Sample, of: object = { vehicleId }) => ({
    ...of,
    readAt: new Date(midnight + minute * MINUTE).toISOString(),
    temperature: { value: celsius, unit: 'C' },
  });
  async function post(...samples: Sample[]): Promise<any> {
    const { status, body } = await send(samples.map((sample) => bodyOf(sample)));
    expect([status, inText(body.errors)]).toEqual([200, undefined]);
    return body;
  }
  const days = async (query = ''): Promise<any[]> => {
    const path = `/v1/vehicles/${vehicleId}/coolant-temperatures${query}`;
    const { status, body } = await fleet.dashboard.get(path);
    expect([status, inText(body.errors)]).toEqual([200, undefined]);
    return body.items;
  };
  const lines = async (): Promise<any[]> =>
    (await fleet.dashboard.get('/v1/due-list?state=late,due,window,not-due')).body.items.filter(
      ({ origin }: any) => origin === 'follow-up',
    );
  const kinds = async (): Promise<string[]> =>
    (await lines()).map(({ vehicle, component, action, atOnce }) =>
      [vehicle.unitNumber, `${component}/${action}`, ...(atOnce ? ['at once'] : [])].join(' '),
    );
  async function differences(): Promise<string[]> {
    const { url: databaseUrl } = service.database;
    const found = await rebuildAll({ databaseUrl, schema, clock: service.clock, fleetIds: [fleet.fleetId] });
    return found.differences.map(({ what }) => what);
  }
  const INSPECTION = ['R-12 coolant/inspect at once', 'R-12 head-gasket/test at once'];

  it('are kept as daily figures, in the reader’s units', async () => {
    expect(await post(...HOT)).toMatchObject({ accepted: 10, rejected: 0 });
    const [day, ...others] = await days();
    expect(others).toEqual([]);
    expect(day).toEqual({
      ...{ id: expect.any(String), vehicleId, day: '2026-04-02', samples: 10 },
      ...{ highest: { value: 112, unit: 'C' }, hotEnd: { value: 112, unit: 'C' } },
      ...{ alarm: { value: 107, unit: 'C' }, samplesAboveAlarm: 4, minutesAboveAlarm: 15, overheated: true },
      // From 40 °C at 482.9 min to 71 °C at 487.8 min.
      ...{ warmUpMinutes: 4.9, usualGapMinutes: 5, largestGapMinutes: 100 },
      ...{ closed: false, voidedAt: null, voidReason: null },
    });
    const us = await fleet.dashboard.get(`/v1/vehicles/${vehicleId}/coolant-temperatures?units=us`);
    expect(us.body.items[0].highest).toEqual({ value: 233.6, unit: 'F' });
  });

  it('above the alarm ask for the inspection after overheating, and say how hot it got', async () => {
    await post(...HOT);
    expect((await kinds()).sort()).toEqual(INSPECTION);
    const gasket = (await lines()).find(({ component }) => component === 'head-gasket');
    expect(gasket.causes.map(({ text }: any) => text)).toEqual([
      'The engine overheated. Let it cool, then do what is listed here before the vehicle goes out again.',
      'Head gasket: test for combustion gas, engine hot and under load.',
      'The coolant reached 112 °C on 2026-04-02; the alarm is set at 107 °C.',
    ]);
    expect(await differences()).toEqual([]);
  });

  it.each<[string, Sample[]]>([
    ['a lone spike', [95, 130, 96].map((celsius, index) => ({ minute: 600 + 5 * index, celsius }))],
    [
      'a spike over two minutes',
      [95, 130, 130, 96].map((celsius, index) => ({ minute: 600 + index, celsius })),
    ],
    [
      'two values hours apart',
      [
        { minute: 300, celsius: 110 },
        { minute: 500, celsius: 110 },
      ],
    ],
    [
      'values below the alarm',
      [
        { minute: 600, celsius: 106.9 },
        { minute: 610, celsius: 106.9 },
      ],
    ],
  ])('open nothing for %s', async (_, samples) => {
    await post(...samples);
    expect(await kinds()).toEqual([]);
    expect((await days())[0]).toMatchObject({ samples: samples.length, overheated: false });
  });

  it('without an alarm on the sheet tell no time above it, until the sheet has one', async () => {
    await limits(null);
    await post(...HOT.slice(0, 7));
    expect((await days())[0]).toMatchObject({ alarm: null, samplesAboveAlarm: null, overheated: false });
    await limits(107);
    await post(...HOT.slice(7));
    expect((await days())[0]).toMatchObject({ samplesAboveAlarm: 4, overheated: true });
    // A day keeps the alarm that it was judged by.
    await limits(120);
    await post({ minute: 700, celsius: 90 });
    expect((await days())[0]).toMatchObject({ alarm: { value: 107 }, overheated: true });
  });

  it('of a battery open no inspection of an engine', async () => {
    const { status } = await fleet.manager.patch(`/v1/spec-sheets/${specSheetId}`, { circuit: 'battery' });
    expect(status).toBe(200);
    await post(...HOT);
    expect(await kinds()).toEqual([]);
    expect((await days())[0]).toMatchObject({ samplesAboveAlarm: 4, overheated: false });
  });

  it('may be posted with a unit of the reader’s, and by unit number', async () => {
    const item = {
      unitNumber: 'R-12',
      readAt: '2026-04-02T12:00:00Z',
      temperature: { value: 203, unit: 'F' },
    };
    expect((await send([item])).body).toMatchObject({ accepted: 1 });
    expect((await days())[0].highest.value).toBeCloseTo(95, 9);
  });

  it('are refused one by one, with the reason', async () => {
    const readAt = '2026-04-02T12:00:00Z';
    const temperature = { value: 90, unit: 'C' };
    const { status, body } = await send([
      { vehicleId, readAt, temperature },
      { vehicleId, readAt, temperature: { value: -40, unit: 'C' } },
      { vehicleId, readAt, temperature: { value: 215, unit: 'C' } },
      { vehicleId, readAt: '2026-04-02T20:11:00Z', temperature },
      { vehicleId, readAt: '2026-03-02T12:00:00Z', temperature },
      { unitNumber: 'R-99', readAt, temperature },
      { vehicleId: '01a22d28-a28e-7501-a4ca-22b38b6f2e73', readAt, temperature },
      { readAt, temperature },
      { vehicleId, readAt: '2026-04-02T12:00:00', temperature },
      { vehicleId, readAt, temperature: { value: 90, unit: 'psi' } },
      { vehicleId, readAt, temperature: 90 },
      { vehicleId, readAt, temperature, odometer: 3 },
      7 as unknown as object,
      { vehicleId: 'R-12', readAt, temperature },
      { unitNumber: 12, readAt, temperature },
    ]);
    expect([status, body.accepted, body.rejected]).toEqual([200, 1, 14]);
    expect(body.results[0]).toEqual({ index: 0, status: 'accepted' });
    expect(body.results.slice(1).map(({ reason, pointer }: any) => `${reason} ${pointer}`)).toEqual([
      'sensor /samples/1/temperature',
      'sensor /samples/2/temperature',
      'in-the-future /samples/3/readAt',
      'day-closed /samples/4/readAt',
      'unknown-vehicle /samples/5/unitNumber',
      'unknown-vehicle /samples/6/vehicleId',
      'unknown-vehicle /samples/7/vehicleId',
      'unacceptable /samples/8/readAt',
      'unacceptable /samples/9/temperature',
      'unacceptable /samples/10/temperature',
      'unacceptable /samples/11/odometer',
      'unacceptable /samples/12',
      'unknown-vehicle /samples/13/vehicleId',
      'unknown-vehicle /samples/14/unitNumber',
    ]);
    const texts = body.results.map(({ detail }: any) => detail?.text);
    expect(texts[2]).toMatch(/hotter than coolant can get \(150 °C at most\)\..* Was it 215 °F\?$/);
    expect(texts[4]).toBe(
      '2026-03-02 is closed: temperatures can come in up to 30 days late. The earliest day that still takes them is 2026-03-03.',
    );
    expect(await days()).toMatchObject([{ samples: 1, highest: { value: 90, unit: 'C' } }]);
  });

  it.each<[string, unknown]>([
    ['no list', { samples: 4 }],
    ['an empty list', { samples: [] }],
    ['too long a list', { samples: Array.from({ length: 5001 }, () => 0) }],
    ['another field', { samples: [], vehicleId: 'x' }],
    ['no object', [1]],
  ])('are refused as a whole for %s', async (_, body) => {
    const answer = await fleet.mechanic.post('/v1/coolant-temperatures', body);
    expect([answer.status, answer.body.errors.length]).toEqual([422, 1]);
  });

  it('give the same figures and conclusions in any order, sent once or twice', async () => {
    const orders = [HOT, [...HOT].reverse(), HOT.toSorted((a, b) => (a.minute % 7) - (b.minute % 7))];
    const shown: unknown[] = [];
    for (const [index, order] of orders.entries()) {
      const other = await fleet.manager.post('/v1/vehicles', { unitNumber: `O-${index}`, specSheetId });
      for (const sample of [...order, order[0]!])
        await send([bodyOf({ ...sample, celsius: sample.celsius - 1 }, { unitNumber: `O-${index}` })]);
      for (const sample of order) await send([bodyOf(sample, { unitNumber: `O-${index}` })]);
      const path = `/v1/vehicles/${other.body.id}/coolant-temperatures`;
      const { id: _id, vehicleId: _of, ...figures } = (await fleet.dashboard.get(path)).body.items[0];
      shown.push(figures);
    }
    expect(shown[1]).toEqual(shown[0]);
    expect(shown[2]).toEqual(shown[0]);
    const told = (await lines()).map(({ causes }) => causes.map(({ text }: any) => text).join(' '));
    expect(new Set(told).size).toBe(2);
    expect(told).toHaveLength(6);
    expect(await differences()).toEqual([]);
  });

  it('count for the civil day of the fleet, also where the clocks change', async () => {
    // 8 March 2026 has 23 hours in Denver: 2:00 is 3:00.
    service.clock.moveTo('2026-03-20T20:00:00Z');
    const midnight = Date.parse('2026-03-08T07:00:00Z');
    await post(
      { midnight, minute: -1, celsius: 80 },
      { midnight, minute: 0, celsius: 81 },
      { midnight, minute: 119, celsius: 82 },
      { midnight, minute: 120, celsius: 83 },
      { midnight, minute: 23 * 60 - 1, celsius: 84 },
      { midnight, minute: 23 * 60, celsius: 85 },
    );
    expect(
      (await days()).map(({ day, samples, largestGapMinutes }) => [day, samples, largestGapMinutes]),
    ).toEqual([
      ['2026-03-09', 1, null],
      ['2026-03-08', 4, 23 * 60 - 1 - 120],
      ['2026-03-07', 1, null],
    ]);
  });

  it('that come late still count, for thirty days', async () => {
    await post(...HOT.slice(0, 6));
    expect(await kinds()).toEqual([]);
    service.clock.moveTo('2026-05-02T20:00:00Z');
    expect((await days())[0]).toMatchObject({ closed: false, overheated: false });
    await post(...HOT.slice(6));
    expect((await kinds()).sort()).toEqual(INSPECTION);
    const [before] = await days();
    service.clock.moveTo('2026-05-03T20:00:00Z');
    expect(await post({ minute: 660, celsius: 140 })).toMatchObject({
      rejected: 1,
      results: [{ reason: 'day-closed' }],
    });
    expect(await days()).toEqual([{ ...before, closed: true }]);
    expect(await differences()).toEqual([]);
  });

  it('after the inspection ask for it again, if the day gets hot again', async () => {
    await post(...HOT);
    const gasTest = { kind: 'combustion-gas-test', positive: false, engineHot: true, underLoad: true };
    const takenAt = new Date(MIDNIGHT + 700 * MINUTE).toISOString();
    const read = await fleet.mechanic.post(`/v1/vehicles/${vehicleId}/readings`, { takenAt, ...gasTest });
    expect(read.status).toBe(201);
    expect(await kinds()).toEqual(['R-12 coolant/inspect at once']);
    await post({ minute: 750, celsius: 110 }, { minute: 755, celsius: 110 });
    expect((await kinds()).sort()).toEqual(INSPECTION);
    expect(await differences()).toEqual([]);
  });

  it('of a day can be voided, with the reason, and later ones do not bring it back', async () => {
    await post(...HOT);
    const [{ id }] = await days();
    const path = `/v1/coolant-temperature-days/${id}/void`;
    expect((await fleet.mechanic.post(path, { reason: 'sensor' })).status).toBe(403);
    const answer = await fleet.manager.post(path, { reason: 'sensor drifted' });
    expect([answer.status, answer.body]).toMatchObject([200, { id, voidReason: 'sensor drifted' }]);
    expect(await kinds()).toEqual([]);
    expect((await fleet.manager.post(path, { reason: 'sensor drifted' })).body).toEqual(answer.body);
    const other = await fleet.manager.post(path, { reason: 'another' });
    expect([other.status, other.body.detail]).toEqual([409, 'This day was voided already: sensor drifted']);
    await post({ minute: 700, celsius: 125 }, { minute: 705, celsius: 125 });
    expect(await kinds()).toEqual([]);
    expect(await days()).toMatchObject([{ highest: { value: 125 }, voidReason: 'sensor drifted' }]);
    expect(await differences()).toEqual([]);
    const audit = (await fleet.manager.get('/v1/audit?kind=temperature-day')).body.items;
    expect(audit).toMatchObject([{ action: 'voided', subjectId: id }]);
  });

  it('are told in the history of the vehicle and on its card', async () => {
    await post(...HOT);
    const history = (await fleet.dashboard.get(`/v1/vehicles/${vehicleId}/history`)).body.items;
    expect(history.find(({ what }: any) => what === 'hot-day')).toMatchObject({
      ...{ at: '2026-04-02T16:00:00.000Z', day: '2026-04-02', minutesAboveAlarm: 15, voided: false },
      ...{ highest: { value: 112, unit: 'C' }, alarm: { value: 107, unit: 'C' } },
    });
    const card = (await fleet.dashboard.get(`/v1/vehicles/${vehicleId}/job-card`)).body;
    expect(card.coolantTemperatures).toEqual({
      hotDays: [
        {
          ...{ day: '2026-04-02', minutesAboveAlarm: 15 },
          ...{ highest: { value: 112, unit: 'C' }, alarm: { value: 107, unit: 'C' } },
        },
      ],
      ...{ finding: null, hotEnd: null, hotEndYearBefore: null },
    });
    const page = await fleet.dashboard.get(`/v1/vehicles/${vehicleId}/job-card?format=html&units=us`);
    expect(page.body).toContain('The coolant reached 233.6 °F on 2026-04-02; the alarm is set at 224.6 °F.');
    const pump = await fleet.dashboard.get(
      `/v1/vehicles/${vehicleId}/job-card?format=html&lines=water-pump:replace`,
    );
    expect(pump.body).toMatch(/: the coolant reached 112 °C; the alarm is set at 107 °C\./);
  });

  it('that creep up are shown with what they were a year before', async () => {
    // Over 16 months the hot end rises from 90 °C by 12 K.
    await service.database.admin.query(
      `insert into coolant_temperature_days (fleet_id, id, vehicle_id, day, samples, highest_c, hot_c)
       select $1, gen_random_uuid(), $2, date '2026-04-02' - ago, 10, 100, 90 + greatest(0, 12 - ago / 25.0)
       from generate_series(0, 490) as ago`,
      [fleet.fleetId, vehicleId],
    );
    const path = `/v1/vehicles/${vehicleId}/coolant-temperature-trend`;
    const { body } = await fleet.dashboard.get(path);
    expect(body).toMatchObject({ hotter: true, since: null, yearBefore: { value: 90, unit: 'C' } });
    expect(body.blocks).toHaveLength(16);
    expect(body.finding.text).toMatch(
      /^The coolant runs hotter and hotter: 1\d\d\.?\d* °C at its hottest, against 90 °C in the same weeks last year\./,
    );
    const page = await fleet.dashboard.get(`/v1/vehicles/${vehicleId}/job-card?format=html`);
    expect(page.body).toContain('The coolant runs hotter and hotter');
    // A new radiator makes the days before incomparable.
    await fleet.mechanic.post('/v1/job-reports', {
      ...{
        vehicleId,
        performedAt: '2026-03-20T12:00:00Z',
        lines: [{ component: 'radiator', action: 'replace' }],
      },
    });
    expect((await fleet.dashboard.get(path)).body).toMatchObject({ hotter: null, since: '2026-03-20' });
  });

  it('are listed by pages, latest first', async () => {
    service.clock.moveTo('2026-04-20T20:00:00Z');
    const at = (day: number): Sample => ({ minute: day * 1440, celsius: 90 + day });
    await post(...[0, 1, 2, 3, 4].map(at));
    const first = await fleet.dashboard.get(`/v1/vehicles/${vehicleId}/coolant-temperatures?limit=2`);
    expect(first.body.items.map(({ day }: any) => day)).toEqual(['2026-04-06', '2026-04-05']);
    expect((await days(`?limit=3&cursor=${first.body.next}`)).map(({ day }) => day)).toEqual([
      ...['2026-04-04', '2026-04-03', '2026-04-02'],
    ]);
  });

  it('keep a vehicle from being deleted', async () => {
    const other = await fleet.manager.post('/v1/vehicles', { unitNumber: 'D-1' });
    await send([bodyOf({ minute: 600, celsius: 90 }, { unitNumber: 'D-1' })]);
    expect((await fleet.manager.delete(`/v1/vehicles/${other.body.id}`)).status).toBe(409);
  });

  describe('from a source', () => {
    const take = (...rows: Parameters<TemperaturesService['take']>[1]): Promise<TakenTemperatures> =>
      inFleet(
        { fleetId: fleet.fleetId, timeZone: 'America/Denver', units: 'us', tokenId: null, role: null },
        () =>
          service.app
            .get(Transactions)
            .write((tx: EntityManager) => service.app.get(TemperaturesService).take(tx, rows)),
      );
    const row = (of: string, { minute, celsius }: Sample) => ({
      ...{ vehicleId: of, at: MIDNIGHT + minute * MINUTE, celsius },
    });

    it('are taken the same way, and what is refused is told by its place', async () => {
      const missing = '01a22d28-a28e-7501-a4ca-22b38b6f2e73';
      const taken = await take(
        ...HOT.map((sample) => row(vehicleId, sample)),
        row(missing, { minute: 1, celsius: 90 }),
        row(vehicleId, { minute: 1, celsius: 215 }),
      );
      expect([taken.accepted, taken.refused.map(({ index, reason }) => [index, reason])]).toEqual([
        10,
        [
          [10, 'unknown-vehicle'],
          [11, 'sensor'],
        ],
      ]);
      expect((await kinds()).sort()).toEqual(INSPECTION);
    });

    it('take as many statements for many vehicles as for one, and write nothing that is known', async () => {
      const ids: string[] = [];
      for (let index = 0; index < 20; index++)
        ids.push(
          (await fleet.manager.post('/v1/vehicles', { unitNumber: `S-${index}`, specSheetId })).body.id,
        );
      const statementsOf = async (work: () => Promise<unknown>): Promise<string[]> => {
        const heard: string[] = [];
        const listen = (text: string): void => void heard.push(text);
        statementListeners.add(listen);
        await work().finally(() => statementListeners.delete(listen));
        return heard;
      };
      const one = await statementsOf(() => take(...HOT.map((sample) => row(ids[0]!, sample))));
      const rows = ids.slice(1).flatMap((id) => HOT.map((sample) => row(id, sample)));
      const many = await statementsOf(() => take(...rows));
      expect(many).toHaveLength(one.length);
      expect(many.length).toBeLessThanOrEqual(14);
      const again = await statementsOf(() => take(...rows));
      expect(again.length).toBeLessThan(many.length);
      expect(again.filter((text) => /insert into coolant/.test(text))).toEqual([]);
    });
  });
});
