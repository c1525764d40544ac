import { v7 as uuidv7 } from 'uuid';
import { rebuildAll } from '../../../src/conclusions/pipeline/rebuild.js';
import { schema } from '../../../src/schema.js';
import { textsIn } from '../../support/english.js';
import { postScenario, type Scenario } from '../../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

/** Friday, 27 March 2026, nine in the morning in Denver. */
const FRIDAY = '2026-03-27T15:00:00Z';
const MONDAY = '2026-03-30T15:00:00Z';
const WARNING =
  'Released with a failed pressure test. Keep the vehicle parked until it passes a pressure test.';

const TEMPERATURES = { startTemperature: { value: 18, unit: 'C' }, endTemperature: { value: 18, unit: 'C' } };
const pressureTest = (end: number, start = 15.5) => ({
  ...{ kind: 'hold-test', method: 'pressure', minutes: 5, wet: true, ...TEMPERATURES },
  ...{ start: { value: start, unit: 'psi' }, end: { value: end, unit: 'psi' } },
  gaugeResolution: { value: 0.1, unit: 'psi' },
});
const vacuumTest = (end: number) => ({
  ...{ kind: 'hold-test', method: 'vacuum', minutes: 5, wet: false },
  ...{ start: { value: 22, unit: 'inHg' }, end: { value: end, unit: 'inHg' } },
  gaugeResolution: { value: 0.1, unit: 'inHg' },
});
const beltCheck = (wearGauge: string) => ({
  ...{ kind: 'belt-check', item: 'accessory', ribsSeated: true, wearGauge },
  ...{ tensionerInRange: true, contaminated: false },
});
const gasTest = (positive: boolean) => ({
  ...{ kind: 'combustion-gas-test', positive, engineHot: true, underLoad: true },
});
const torqueSet = (last: number) => ({
  ...{ kind: 'torque-set', fastener: 'pump-to-cover', unit: 'N.m', source: 'setting' },
  values: [11, 11, 11, 11, 11, 11, 11, 11, last],
});

describe('a vehicle released with a failed safety reading', () => {
  let service: Service;
  let fleet: FleetHandle;
  let scenario: Scenario;
  let turn = 0;

  beforeAll(async () => {
    service = await startService({ at: FRIDAY });
    fleet = await service.newFleet({ units: 'us' });
    scenario = await postScenario(fleet);
  });
  beforeEach(() => service.clock.moveTo(FRIDAY));
  afterAll(() => service.stop());

  async function newVehicle(more: object = {}): Promise<string> {
    const { depotId, specSheetId, intervalPlanId } = scenario;
    const { status, body } = await fleet.manager.post('/v1/vehicles', {
      ...{ unitNumber: `F-${++turn}`, depotId, specSheetId, intervalPlanId, inServiceOn: '2026-01-15' },
      ...{ inServiceOdometer: { value: 0, unit: 'mi' }, ...more },
    });
    expect(status).toBe(201);
    return body.id;
  }
  const report = (vehicleId: string, readings: object[], more: object = {}) => ({
    ...{ vehicleId, performedAt: service.clock.now().toISOString(), releasedForService: 'yes' },
    ...{ lines: [{ component: 'upper-hose', action: 'inspect' }], readings, ...more },
  });
  async function posted(body: object): Promise<any> {
    const answer = await fleet.mechanic.post('/v1/job-reports', body);
    expect([answer.status, answer.body.errors]).toEqual([201, undefined]);
    return answer.body;
  }
  const get = async (path: string): Promise<any> => (await fleet.dashboard.get(path)).body;
  const releasedNow = async (vehicleId: string): Promise<string | null> =>
    (await get(`/v1/vehicles/${vehicleId}`)).releasedWithFindings?.message.text ?? null;
  const reportsReleased = async (vehicleId: string): Promise<string[]> =>
    (await get(`/v1/job-reports?released=with-findings&vehicleId=${vehicleId}`)).items.map(
      ({ id }: any) => id,
    );
  const listed = async (): Promise<string[]> =>
    (await get('/v1/vehicles?released=with-findings')).items.map(({ id }: any) => id);

  it('is named in the first line of the answer, accepted, and shown until a pressure test passes', async () => {
    const vehicleId = await newVehicle();
    const body = report(vehicleId, [pressureTest(12)]);
    const answer = await fleet.mechanic.post('/v1/job-reports', body);
    expect(answer.status).toBe(201);
    expect(Object.entries(answer.body)[0]).toEqual(['warning', expect.objectContaining({ text: WARNING })]);
    expect(answer.body.releasedForService).toBe('yes');
    expect(answer.body.notices).toMatchObject([
      { code: 'released-with-findings', readingIds: [answer.body.readings[0].id] },
    ]);
    expect(textsIn(answer.body.notices[0].messages).join(' ')).toMatch(
      /^The report says that the vehicle was released for service\. It was released with a failed pressure test\. .*Keep the vehicle parked until it passes a pressure test\.$/,
    );
    expect(await get(`/v1/job-reports/${answer.body.id}`)).toEqual(answer.body);

    const vehicle = await get(`/v1/vehicles/${vehicleId}`);
    expect(vehicle.releasedWithFindings).toEqual({
      message: expect.objectContaining({
        code: 'release-findings-open',
        text: 'Released with open safety findings: a failed pressure test. Keep the vehicle parked until it passes a pressure test.',
      }),
      since: new Date(FRIDAY).toISOString(),
      findings: [
        {
          ...{ readingId: answer.body.readings[0].id, jobReportId: answer.body.id, kind: 'hold-test' },
          takenAt: new Date(FRIDAY).toISOString(),
          what: { code: 'finding-failed-pressure-test', values: {}, text: 'a failed pressure test' },
          until: { code: 'settled-by-pressure-test', values: {}, text: 'it passes a pressure test' },
          reasons: answer.body.readings[0].evaluation.reasons,
          dueLineIds: [expect.any(String)],
        },
      ],
    });
    expect(await listed()).toEqual([vehicleId]);
    const [inList] = (await get(`/v1/vehicles?unitNumber=${vehicle.unitNumber}`)).items;
    expect(inList).toEqual(vehicle);
    const lines = (await get(`/v1/due-list?vehicleId=${vehicleId}`)).items;
    const retest = lines.find(({ releasedWithFindings }: any) => releasedWithFindings);
    expect([retest.component, retest.action, retest.id]).toEqual([
      ...['coolant', 'test'],
      vehicle.releasedWithFindings.findings[0].dueLineIds[0],
    ]);

    service.clock.moveTo(MONDAY);
    await posted(report(vehicleId, [], { releasedForService: 'no', performedAt: '2026-03-28T16:00:00Z' }));
    expect(await listed()).toEqual([vehicleId]);
    const passed = await posted(report(vehicleId, [pressureTest(16, 16)]));
    expect([passed.warning, passed.notices]).toEqual([null, []]);
    expect([await releasedNow(vehicleId), await listed()]).toEqual([null, []]);
    const settled = await get(`/v1/job-reports/${answer.body.id}`);
    expect(settled.warning).toBeNull();
    expect(textsIn(settled.notices[0].messages).at(-1)).toBe('Settled since.');
  });

  it.each([
    [
      'a worn belt',
      [beltCheck('worn')],
      'Released with a failed belt check (accessory). Keep the vehicle parked until the belt is replaced or passes a full check.',
    ],
    [
      'a failed vacuum test',
      [vacuumTest(12)],
      'Released with a failed vacuum test. Keep the vehicle parked until it passes a hold test.',
    ],
    [
      'too low a level, cold',
      [{ kind: 'level-check', belowMark: { value: 3, unit: 'L' }, engineCold: true }],
      'Released with a failed level check. Do not drive it until it is topped up (a cold level at or between the marks, at least 4 hours after topping up, settles it; record that the engine was cold).',
    ],
    [
      'two of them',
      [pressureTest(12), beltCheck('worn')],
      'Released with a failed pressure test and a failed belt check (accessory). Keep the vehicle parked until it passes a pressure test and the belt is replaced or passes a full check.',
    ],
  ])('leads to a warning about %s', async (_what, readings, warning) => {
    const vehicleId = await newVehicle();
    const answer = await posted(report(vehicleId, readings));
    expect(answer.warning.text).toBe(warning);
    expect(await listed()).toContain(vehicleId);
  });

  it.each([
    ['no is said', { releasedForService: 'no' }, [pressureTest(12)]],
    ['the release has limits', { releasedForService: 'with-limits' }, [pressureTest(12)]],
    ['nothing is said', { releasedForService: null }, [pressureTest(12)]],
    ['it passed', {}, [pressureTest(16, 16)]],
    ['a pass in the same job made it good', {}, [torqueSet(20), torqueSet(11)]],
    [
      'the same job renewed the head gasket and found no gas any more',
      { lines: [{ component: 'head-gasket', action: 'replace' }] },
      [gasTest(true), gasTest(false)],
    ],
    [
      'the reading is not one of safety',
      {},
      [
        {
          kind: 'freeze-point',
          method: 'refractometer',
          scale: 'ethylene-glycol',
          value: { value: -5, unit: 'C' },
        },
      ],
    ],
  ])('does not count as such if %s', async (_when, more, readings) => {
    const vehicleId = await newVehicle();
    const answer = await posted(report(vehicleId, readings, more));
    expect([answer.warning, answer.notices]).toEqual([null, []]);
    expect(await releasedNow(vehicleId)).toBeNull();
    expect(await listed()).not.toContain(vehicleId);
    expect(await reportsReleased(vehicleId)).toEqual([]);
    expect(await get(`/v1/job-reports/${answer.id}`)).toEqual(answer);
  });

  it('still counts as such if gas was found and only the radiator was renewed', async () => {
    const vehicleId = await newVehicle();
    const answer = await posted(
      report(vehicleId, [gasTest(true), gasTest(false)], {
        lines: [{ component: 'radiator', action: 'replace' }],
      }),
    );
    expect(answer.warning.text).toMatch(
      /^Released with a positive combustion-gas test\. Keep the vehicle parked/,
    );
    expect(await reportsReleased(vehicleId)).toEqual([answer.id]);
  });

  it('no longer counts when the report is voided, and counts again with the report that replaces it', async () => {
    const vehicleId = await newVehicle();
    const first = await posted(report(vehicleId, [pressureTest(12)]));
    const second = await posted(report(vehicleId, [pressureTest(11)], { supersedes: first.id }));
    expect(second.warning.text).toBe(WARNING);
    const { findings } = (await get(`/v1/vehicles/${vehicleId}`)).releasedWithFindings;
    expect(findings.map(({ jobReportId }: any) => jobReportId)).toEqual([second.id]);
    expect(await get(`/v1/job-reports/${first.id}`)).toMatchObject({ warning: null, notices: [] });
    await fleet.manager.post(`/v1/job-reports/${second.id}/void`, { reason: 'wrong vehicle' });
    expect(await releasedNow(vehicleId)).toBeNull();
    const ids = (await get('/v1/job-reports?released=with-findings')).items.map(({ id }: any) => id);
    expect(ids).not.toEqual(expect.arrayContaining([first.id]));
    expect(ids).not.toEqual(expect.arrayContaining([second.id]));
  });

  it('keeps the warning first when the same request is answered again', async () => {
    const vehicleId = await newVehicle();
    const body = report(vehicleId, [pressureTest(12)], { id: uuidv7() });
    const headers = { 'idempotency-key': uuidv7() };
    const first = await fleet.mechanic.post('/v1/job-reports', body, headers);
    for (const again of [
      await fleet.mechanic.post('/v1/job-reports', body, headers),
      await fleet.mechanic.post('/v1/job-reports', body),
    ]) {
      expect(Object.keys(again.body)[0]).toBe('warning');
      expect(again.body).toEqual(first.body);
    }
  });

  it('says so in a batch, and when the vehicle is changed', async () => {
    const vehicleId = await newVehicle();
    const { body } = await fleet.mechanic.post('/v1/job-reports/batch', {
      reports: [report(vehicleId, [pressureTest(12)])],
    });
    expect(Object.entries(body.results[0].report)[0]).toEqual([
      'warning',
      expect.objectContaining({ text: WARNING }),
    ]);
    const patched = await fleet.manager.patch(`/v1/vehicles/${vehicleId}`, { make: 'Carver' });
    expect(patched.body.releasedWithFindings.message.text).toMatch(/^Released with open safety findings/);
    const { body: text } = await fleet.dashboard.get('/v1/vehicles.csv?released=with-findings');
    expect(text).toContain(patched.body.unitNumber);
    expect(text).not.toContain('R-114');
  });

  it('is judged by believed counters: held counters do not count', async () => {
    const vehicleId = await newVehicle();
    await fleet.mechanic.post('/v1/usage-readings', {
      readings: [5, 15, 25].map((day) => ({
        ...{ vehicleId, readAt: `2026-02-${String(day).padStart(2, '0')}T12:00:00Z` },
        odometer: { value: 1000 + day * 40, unit: 'mi' },
      })),
    });
    const answer = await posted(
      report(vehicleId, [pressureTest(16, 16)], { odometer: { value: 1_169_780, unit: 'mi' } }),
    );
    expect(answer.usageReading).toMatchObject({ status: 'held', odometerCounts: false });
    expect(answer.usageReading.detail.text).toMatch(/\S/);
    expect(await get(`/v1/job-reports/${answer.id}`)).toEqual(answer);
    await fleet.manager.post(`/v1/usage-readings/${answer.usageReading.id}/discard`, {});
    expect((await get(`/v1/job-reports/${answer.id}`)).usageReading.status).toBe('discarded');
  });

  it('is the same when rebuilt from the whole history', async () => {
    const result = await rebuildAll({ databaseUrl: service.database.url, schema, clock: service.clock });
    expect(result.differences).toEqual([]);
  });
});
