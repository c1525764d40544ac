import { rebuildAll } from '../../../src/conclusions/pipeline/rebuild.js';
import { schema } from '../../../src/schema.js';
import { FINDINGS_AT_ONCE, pressureTest, vacuumTest } from '../../support/findings-at-once.js';
import { goodJob, postScenario, type Scenario } from '../../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';
import { inText } from '../../support/told.js';

const WARM_UP = {
  ...{ kind: 'warm-up-check', heatAtVents: true, fanCycled: true, thermostatOpened: true },
  ...{ temperatureSteady: true, leakSeen: false, levelAfterCooling: 'at-mark' },
};
/** A line that opens, closes and mends nothing. */
const LOOKED = [{ component: 'upper-hose', action: 'inspect' }];
const BELT = { kind: 'belt-check', item: 'accessory', ribsSeated: true };
const WHOLE_BELT = {
  ...{ ...BELT, offset: { value: 0.5, unit: 'mm' }, span: { value: 220, unit: 'mm' } },
  ...{ wearGauge: 'ok', tensionerInRange: true, contaminated: false },
};

describe('a reading that finds something unsafe', () => {
  let service: Service;
  let fleet: FleetHandle;
  let scenario: Scenario;
  let units = 0;

  beforeAll(async () => {
    service = await startService({ at: '2026-04-06T20:00:00Z' });
    fleet = await service.newFleet({ timeZone: 'America/Denver', units: 'us' });
    scenario = await postScenario(fleet);
  });
  afterAll(() => service.stop());

  async function newVehicle(): Promise<string> {
    const { depotId, specSheetId } = scenario;
    const unitNumber = `S-${(units += 1)}`;
    const { status, body } = await fleet.manager.post('/v1/vehicles', { unitNumber, depotId, specSheetId });
    expect([status, inText(body.errors)]).toEqual([201, undefined]);
    return body.id;
  }

  async function report(vehicleId: string, day: string, lines: object[], readings: object[]): Promise<any> {
    const { status, body } = await fleet.mechanic.post('/v1/job-reports', {
      ...{ vehicleId, performedAt: `${day}T12:00:00-06:00`, releasedForService: 'no', lines, readings },
    });
    expect([status, inText(body.errors)]).toEqual([201, undefined]);
    return body;
  }

  async function read(vehicleId: string, day: string, reading: object): Promise<any> {
    const { status, body } = await fleet.mechanic.post(`/v1/vehicles/${vehicleId}/readings`, {
      ...{ takenAt: `${day}T12:00:00-06:00`, ...reading },
    });
    expect([status, inText(body.errors)]).toEqual([201, undefined]);
    return body;
  }

  async function open(vehicleId: string): Promise<any[]> {
    const { status, body } = await fleet.dashboard.get(`/v1/due-list?vehicleId=${vehicleId}`);
    expect(status).toBe(200);
    return body.items;
  }
  const work = ({ component, action }: any): string => `${component}/${action}`;

  it.each(FINDINGS_AT_ONCE)(
    '%s: opens a line that is due that day and named in the answer',
    async (_what, found) => {
      const vehicleId = await newVehicle();
      const { outcome } = await report(vehicleId, '2026-04-02', LOOKED, [found.reading]);
      expect(outcome.followUps[0]).toEqual({
        ...{ id: expect.any(String), item: found.item ?? null, atOnce: true, dueOn: '2026-04-02' },
        ...{ component: found.opens[0], action: found.opens[1] },
        causes: [expect.objectContaining({ text: expect.stringMatching(found.cause) })],
      });
      const [line] = await open(vehicleId);
      expect(line).toMatchObject({
        ...{ id: outcome.followUps[0].id, atOnce: true, causes: outcome.followUps[0].causes },
        ...{ dueOn: '2026-04-02', lateOn: '2026-04-09', state: 'due', origin: 'follow-up' },
      });
    },
  );

  it('tells why in the language of the reader, in the answer, on the list and in the spreadsheet', async () => {
    const vehicleId = await newVehicle();
    const spanish = { 'accept-language': 'es-MX' };
    const answer = await fleet.mechanic.post(
      '/v1/job-reports',
      {
        ...{ vehicleId, performedAt: '2026-04-02T12:00:00-06:00', releasedForService: 'yes' },
        ...{ lines: LOOKED, readings: [pressureTest(12)] },
      },
      spanish,
    );
    const why =
      'La prueba de presión no pasó. Encuentre y repare la fuga; después el sistema debe pasar una prueba de presión.';
    const causes = [{ code: 'follow-up-pressure-test-failed', values: {}, text: why }];
    expect(answer.body.outcome.followUps).toMatchObject([{ causes }]);
    expect(answer.body.warning.text).toBe(
      'Se liberó con una prueba de presión que no pasó. Deje el vehículo estacionado hasta que el sistema pase una prueba de presión.',
    );
    const list = await fleet.dashboard.get(`/v1/due-list?vehicleId=${vehicleId}`, spanish);
    expect(list.body.items).toMatchObject([{ causes }]);
    expect((await fleet.dashboard.get('/v1/due-list.csv', spanish)).body).toContain(why);
    const [line] = await open(vehicleId);
    expect(line.causes[0].text).toMatch(/^The pressure test failed/);
  });

  it.each(FINDINGS_AT_ONCE)('%s: does the same if the reading comes without a job', async (_what, found) => {
    const vehicleId = await newVehicle();
    const { outcome } = await read(vehicleId, '2026-04-02', found.reading);
    expect(outcome.followUps.map(work)).toEqual([found.opens.join('/')]);
    expect(outcome.followUps[0]).toMatchObject({ atOnce: true, dueOn: '2026-04-02' });
  });

  it('names the line in the answer even if it was already open, and lists what is at once first', async () => {
    const vehicleId = await newVehicle();
    const first = await read(vehicleId, '2026-04-01', vacuumTest(17));
    const { outcome } = await report(
      vehicleId,
      '2026-04-02',
      [{ component: 'coolant', action: 'replace' }],
      [pressureTest(12), { ...BELT, wearGauge: 'worn' }],
    );
    expect(outcome.followUps.map(work)).toEqual(['coolant/test', 'drive-belt/replace', 'coolant/recheck']);
    expect(outcome.followUps[0].id).toBe(first.outcome.followUps[0].id);
    const { body } = await fleet.dashboard.get(`/v1/job-reports?vehicleId=${vehicleId}`);
    expect(body.items[0].outcome).toEqual(outcome);
  });

  it('leaves nothing open if the same job passes it afterwards', async () => {
    const vehicleId = await newVehicle();
    const loose = { kind: 'torque-set', fastener: 'pump-to-cover', unit: 'N.m', setTo: 5, count: 9 };
    const { outcome } = await report(
      vehicleId,
      '2026-04-02',
      [{ component: 'water-pump', action: 'inspect' }],
      [pressureTest(12), loose, pressureTest(16), { ...loose, setTo: 11 }],
    );
    expect([outcome.verdict, outcome.followUps]).toEqual(['fail', []]);
    expect(await open(vehicleId)).toEqual([]);
  });

  it('is not settled by a bare job line, by a vacuum, or by an inconclusive reading', async () => {
    const vehicleId = await newVehicle();
    await read(vehicleId, '2026-04-02', pressureTest(12));
    const isOpen = async () => (await open(vehicleId)).map(work);
    await report(vehicleId, '2026-04-03', [{ component: 'coolant', action: 'test' }], []);
    expect(await isOpen()).toEqual(['coolant/test']);
    expect((await read(vehicleId, '2026-04-03', vacuumTest(22))).evaluation.verdict).toBe('pass');
    expect(await isOpen()).toEqual(['coolant/test']);
    const short = { ...pressureTest(16), minutes: 0.5 };
    expect((await read(vehicleId, '2026-04-04', short)).evaluation.verdict).toBe('inconclusive');
    expect(await isOpen()).toEqual(['coolant/test']);
    expect((await read(vehicleId, '2026-04-05', pressureTest(16))).evaluation.verdict).toBe('pass');
    expect(await isOpen()).toEqual([]);
  });

  it('is settled for a belt by a full check or a new belt, for a warm-up by a warm-up or pressure test', async () => {
    const closed = async (found: object, ...then: [object[], object[]][]): Promise<boolean[]> => {
      const vehicleId = await newVehicle();
      await read(vehicleId, '2026-04-02', found);
      const after: boolean[] = [];
      for (const [lines, readings] of then) {
        await report(vehicleId, '2026-04-03', lines, readings);
        after.push((await open(vehicleId)).length === 0);
      }
      return after;
    };
    const worn = { ...BELT, wearGauge: 'worn' };
    const look = [{ component: 'drive-belt', action: 'inspect', item: 'accessory' }];
    const renewed = [{ component: 'drive-belt', action: 'replace', item: 'accessory' }];
    expect(await closed(worn, [look, []], [look, [BELT]], [look, [WHOLE_BELT]])).toEqual([
      false,
      false,
      true,
    ]);
    expect(await closed(worn, [renewed, []])).toEqual([true]);
    const leak = { ...WARM_UP, leakSeen: true };
    const test = [{ component: 'coolant', action: 'test' }];
    expect(await closed(leak, [test, []], [test, [vacuumTest(22)]], [test, [WARM_UP]])).toEqual([
      ...[false, false, true],
    ]);
    expect(await closed(leak, [test, [pressureTest(16)]])).toEqual([true]);
  });

  it('closes the recheck after work by a cold level, not by the job line', async () => {
    const vehicleId = await newVehicle();
    await report(vehicleId, '2026-04-02', [{ component: 'coolant', action: 'replace' }], []);
    const recheck = [{ component: 'coolant', action: 'recheck' }];
    await report(vehicleId, '2026-04-03', recheck, []);
    expect((await open(vehicleId)).map(work)).toEqual(['coolant/recheck']);
    const level = { kind: 'level-check', belowMark: { value: 0, unit: 'L' }, engineCold: true };
    await report(vehicleId, '2026-04-04', recheck, [level]);
    expect(await open(vehicleId)).toEqual([]);
  });

  it('closes a coolant finding by a reading that measured it, and oil only after a repair', async () => {
    const condition = (values: object) => ({ kind: 'coolant-condition', ...values });
    const [clear, flush] = [condition({ appearance: 'clear' }), [{ component: 'coolant', action: 'flush' }]];
    const left = async (vehicleId: string) =>
      (await open(vehicleId)).map(work).filter((line) => line !== 'coolant/recheck');
    const acid = await newVehicle();
    await read(acid, '2026-04-02', condition({ pH: 6.5 }));
    await read(acid, '2026-04-03', clear);
    await report(acid, '2026-04-04', flush, []);
    expect(await left(acid)).toEqual(['coolant/flush']);
    await read(acid, '2026-04-05', condition({ pH: 8.6, appearance: 'clear' }));
    expect(await left(acid)).toEqual([]);
    const oily = await newVehicle();
    await read(oily, '2026-04-02', condition({ appearance: 'oily' }));
    await read(oily, '2026-04-03', clear);
    expect(await left(oily)).toEqual(['oil-cooler/replace']);
    await report(oily, '2026-04-04', [{ component: 'oil-cooler', action: 'replace' }], [clear]);
    expect(await left(oily)).toEqual([]);
  });

  it('reopens a postponed line when something worse is found, and sends a new reminder', async () => {
    const vehicleId = await newVehicle();
    await read(vehicleId, '2026-04-02', { ...pressureTest(16), minutes: 0.5 });
    const [line] = await open(vehicleId);
    expect(line).toMatchObject({ atOnce: false, dueOn: '2026-04-09' });
    const put = { until: '2026-04-20', reason: 'on the road' };
    expect((await fleet.manager.post(`/v1/due-list/${line.id}/postpone`, put)).status).toBe(200);
    await read(vehicleId, '2026-04-06', pressureTest(12));
    expect(await open(vehicleId)).toMatchObject([
      { id: line.id, atOnce: true, dueOn: '2026-04-06', postponedUntil: null, state: 'due' },
    ]);
  });

  it('gives a job done well no lines in the answer, except for the recheck', async () => {
    const vehicleId = await newVehicle();
    const { status, body } = await fleet.mechanic.post('/v1/job-reports', {
      ...goodJob(vehicleId, '2026-04-02T12:00:00-06:00', 20_001),
    });
    expect([status, body.outcome.followUps.map(work)]).toEqual([201, ['coolant/recheck']]);
  });

  it('leads to the same conclusions when rebuilt from all of the history', async () => {
    const { admin } = service.database;
    const { rows } = await admin.query(
      `select opened_by from due_lines where is_open and is_at_once and jsonb_array_length(opened_by) > 0`,
    );
    expect(rows.length).toBeGreaterThan(FINDINGS_AT_ONCE.length);
    const { url } = service.database;
    const { differences } = await rebuildAll({ databaseUrl: url, schema, clock: service.clock });
    expect(differences).toEqual([]);
  });
});
