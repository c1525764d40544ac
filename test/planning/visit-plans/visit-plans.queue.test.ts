import ICAL from 'ical.js';
import { rebuildAll } from '../../../src/conclusions/pipeline/rebuild.js';
import { schema } from '../../../src/schema.js';
import { BATTERY_CIRCUIT, HYBRID_PLAN, HYBRID_SHEET } from '../../support/hybrid.js';
import { until } from '../../support/receiver.js';
import { postScenario, type Scenario } from '../../support/scenario.js';
import { type Client, type FleetHandle, type Service, startService } from '../../support/service.js';
import { inText } from '../../support/told.js';

// A Thursday, as are all days of this test seven days apart.
const NOW = '2026-04-02T15:00:00Z';
const RATES = { labourRate: 80, downtimeCostPerDay: 200, latenessCostPerDay: 50 };

const MONDAY = '2026-04-06';

/** Waits until a plan is answered, and shows it. */
async function solvedPlan(manager: Client, id: string): Promise<any> {
  let plan: any;
  await until(async () => {
    plan = (await manager.get(`/v1/visit-plans/${id}`)).body;
    return !['waiting', 'solving'].includes(plan.state);
  }, 240_000);
  return plan;
}

describe('a visit plan', () => {
  let service: Service;
  let fleet: FleetHandle;
  let scenario: Scenario;

  beforeAll(async () => {
    service = await startService({
      withWorker: true,
      at: NOW,
      env: { VISIT_PLAN_SECONDS: '10', QUEUE_CHECK_SECONDS: '1' },
    });
  });
  afterAll(() => service.stop());
  beforeEach(async () => {
    service.clock.moveTo(NOW);
    fleet = await service.newFleet();
    scenario = await postScenario(fleet);
  });

  async function ask(extra: object = {}): Promise<any> {
    const { status, body } = await fleet.manager.post('/v1/visit-plans', {
      ...{ from: '2026-04-06', to: '2026-05-01', ...RATES, ...extra },
    });
    expect([status, inText(body.errors)]).toEqual([201, undefined]);
    expect(body).toMatchObject({
      state: 'waiting',
      gap: null,
      cost: null,
      visits: [],
      progress: { share: 0 },
    });
    return solvedPlan(fleet.manager, body.id);
  }

  it('combines due lines of a vehicle, and compares the cost with each line on its own due day', async () => {
    // In service since 2021-03-15: pump (60 months) due 2026-03-15, coolant (36) and belt
    // inspection (12) long late.
    const plan = await ask();
    expect(plan).toMatchObject({
      state: 'solved',
      progress: { share: 1 },
      problem: null,
      changedSinceSolved: false,
    });
    expect(plan.gap).toBeLessThanOrEqual(0.01);
    expect(plan.leftForLater).toEqual([]);
    expect(plan.visits).toHaveLength(1);
    const [visit] = plan.visits;
    expect(visit).toMatchObject({ vehicle: { unitNumber: 'R-114' }, day: '2026-04-06', pinned: false });
    expect(visit.lines.map(({ component, action }: any) => `${component} ${action}`).sort()).toEqual([
      'coolant replace',
      'drive-belt inspect',
      'water-pump replace',
    ]);
    // By hand, of the table's hours (common practice): take-in 0.3, belt off 0.5, drain and fill
    // 1.5, pump 2, coolant 0.3, inspection 0.2.
    expect(visit.hours).toBeCloseTo(4.8, 9);
    expect(visit.cost.labour).toBeCloseTo(4.8 * 80, 6);
    expect(visit.cost.downtime).toBe(200);
    const sum = ['labour', 'downtime', 'lifeThrownAway', 'lateness'].reduce(
      (all, key) => all + plan.cost[key],
      0,
    );
    expect(plan.cost.total).toBeCloseTo(sum, 6);
    // All three are due already, so that they would come in together on the first day anyway.
    expect(plan.costOnDueDays.total).toBeCloseTo(plan.cost.total, 6);
  });

  it.each([
    [{ lines: [{ component: 'coolant', action: 'replace', hours: 4 }] }, 1.8 + 4],
    // By the usual hours, as the engine's circuit has its own alone.
    [undefined, 1.8 + 0.3],
  ])('takes the labour of the circuit that a line is about: %j', async (labour, inBattery) => {
    const specSheet = await fleet.manager.post('/v1/spec-sheets', {
      ...HYBRID_SHEET,
      labour: { lines: [{ component: 'coolant', action: 'replace', hours: 1 }] },
      otherCircuits: [{ ...BATTERY_CIRCUIT, labour }],
    });
    const intervalPlan = await fleet.manager.post('/v1/interval-plans', HYBRID_PLAN);
    const vehicle = await fleet.manager.post('/v1/vehicles', {
      ...{ unitNumber: 'H-7', depotId: scenario.depotId, inServiceOn: '2019-03-15' },
      ...{ specSheetId: specSheet.body.id, intervalPlanId: intervalPlan.body.id },
    });
    expect([specSheet.status, vehicle.status]).toEqual([201, 201]);
    const plan = await ask();
    const lines = [...plan.visits, { vehicle: {}, lines: plan.leftForLater }].flatMap((visit: any) =>
      visit.lines.filter((line: any) => (line.vehicle ?? visit.vehicle).unitNumber === 'H-7'),
    );
    const hours = lines.map(({ component, circuit, hoursAlone }: any) => [component, circuit, hoursAlone]);
    expect(hours.sort()).toEqual([
      // Taking in 0.3 h, drain and fill 1.5 h, and the coolant by the sheet.
      ['coolant', 'battery', expect.closeTo(inBattery, 9)],
      ['coolant', 'engine', expect.closeTo(1.8 + 1, 9)],
      ['drive-belt', undefined, expect.closeTo(0.5, 9)],
    ]);
  });

  /**
   * A vehicle whose thermostat is due on Saturday 2026-04-25, and may be replaced from the Monday
   * before.
   */
  async function addThermostat(unitNumber = 'T-1', depotId = scenario.depotId): Promise<string> {
    const plan = await fleet.manager.post('/v1/interval-plans', {
      name: `Thermostats of ${unitNumber}`,
      intervals: [
        {
          ...{ component: 'thermostat', action: 'replace', everyMonths: 12 },
          ...{ window: { days: 5 }, grace: { days: 14 } },
        },
      ],
    });
    const vehicle = await fleet.manager.post('/v1/vehicles', {
      ...{ unitNumber, depotId, intervalPlanId: plan.body.id, inServiceOn: '2025-04-25' },
    });
    expect([plan.status, vehicle.status]).toEqual([201, 201]);
    return vehicle.body.id;
  }

  const visitOf = (plan: any, unitNumber: string): any =>
    plan.visits.find(({ vehicle }: any) => vehicle.unitNumber === unitNumber);
  const change = (plan: any, visit: any, body: object) =>
    fleet.manager.patch(`/v1/visit-plans/${plan.id}/visits/${visit.id}`, body);
  const read = async (path: string): Promise<any> => {
    const { status, body } = await fleet.dashboard.get(path);
    expect([path, status]).toEqual([path, 200]);
    return body;
  };
  const solveAgain = async (plan: any): Promise<any> => {
    const { status, body } = await fleet.manager.post(`/v1/visit-plans/${plan.id}/solve`);
    expect([status, body.state]).toEqual([202, 'waiting']);
    return solvedPlan(fleet.manager, plan.id);
  };
  const confirm = async (plan: any): Promise<any> => {
    const { status, body } = await fleet.manager.post(`/v1/visit-plans/${plan.id}/confirm`);
    expect([status, body.state, body.detail]).toEqual([200, 'confirmed', undefined]);
    return body;
  };
  const dueLines = async (): Promise<any[]> =>
    (await read('/v1/due-list?state=late,due,window,not-due')).items;

  it('gives a line that is due at once the first day, even if other work has been late for years', async () => {
    await fleet.manager.patch(`/v1/depots/${scenario.depotId}`, { labourHoursPerDay: 5 });
    const vehicle = await fleet.manager.post('/v1/vehicles', {
      ...{ unitNumber: 'B-1', depotId: scenario.depotId },
    });
    const failed = await fleet.mechanic.post(`/v1/vehicles/${vehicle.body.id}/readings`, {
      ...{ kind: 'belt-check', ribsSeated: false, takenAt: NOW },
    });
    expect(failed.body.evaluation.verdict).toBe('fail');
    // 4.8 h for R-114 and at least 0.6 h for the belt: no day of 5 h holds both.
    const plan = await ask();
    expect(plan.visits.map(({ vehicle: { unitNumber }, day }: any) => [unitNumber, day])).toEqual([
      ['B-1', MONDAY],
      ['R-114', '2026-04-07'],
    ]);
    expect(visitOf(plan, 'B-1')).toMatchObject({ pinned: false, lines: [{ atOnce: true }] });
    expect(visitOf(plan, 'R-114').lines.map(({ atOnce }: any) => atOnce)).toEqual([false, false, false]);
  });

  // A Saturday, whose first working day is the Monday on which the plan begins; and the Tuesday.
  it.each([
    ['2026-04-04', { 'B-1': MONDAY, 'R-114': '2026-04-07' }],
    ['2026-04-07', { 'R-114': MONDAY, 'B-1': '2026-04-07' }],
  ])('gives a line that was due at once and postponed to %s its day', async (until, days) => {
    await fleet.manager.patch(`/v1/depots/${scenario.depotId}`, { labourHoursPerDay: 5 });
    const vehicle = await fleet.manager.post('/v1/vehicles', {
      ...{ unitNumber: 'B-1', depotId: scenario.depotId },
    });
    await fleet.mechanic.post(`/v1/vehicles/${vehicle.body.id}/readings`, {
      ...{ kind: 'belt-check', ribsSeated: false, takenAt: NOW },
    });
    const [line] = (await read(`/v1/due-list?vehicleId=${vehicle.body.id}`)).items;
    const put = { until, reason: 'the belt comes on that day' };
    expect((await fleet.manager.post(`/v1/due-list/${line.id}/postpone`, put)).status).toBe(200);
    const plan = await ask();
    expect(
      Object.fromEntries(plan.visits.map(({ vehicle: { unitNumber }, day }: any) => [unitNumber, day])),
    ).toEqual(days);
  });

  it('goes from the request to the finished work, and back if the report is voided', async () => {
    await addThermostat();
    const plan = await ask();
    // Saturday is no working day: on Friday a day of its life is thrown away, on Monday nothing,
    // and late it is after 14 days.
    expect(visitOf(plan, 'T-1')).toMatchObject({ day: '2026-04-27', lines: [{ component: 'thermostat' }] });

    const moved = await change(plan, visitOf(plan, 'T-1'), { day: '2026-04-21' });
    expect([moved.status, moved.body]).toEqual([
      200,
      expect.objectContaining({ day: '2026-04-21', pinned: true, dropped: false, version: 2 }),
    ]);
    const dropped = await change(plan, visitOf(plan, 'R-114'), { dropped: true });
    expect(dropped.body).toMatchObject({ dropped: true, pinned: false });
    const changed = (await fleet.manager.get(`/v1/visit-plans/${plan.id}`)).body;
    expect(changed).toMatchObject({ state: 'solved', changedSinceSolved: true, gap: null });
    expect(changed.cost.total).toBeGreaterThan(plan.cost.total);

    const again = await solveAgain(plan);
    expect(again).toMatchObject({ id: plan.id, changedSinceSolved: false });
    expect(again.gap).toBeLessThanOrEqual(0.01);
    expect(again.cost.total).toBeCloseTo(changed.cost.total, 6);
    expect(visitOf(again, 'T-1')).toMatchObject({ id: moved.body.id, day: '2026-04-21', pinned: true });
    expect(visitOf(again, 'R-114')).toMatchObject({ id: dropped.body.id, dropped: true });
    const back = await change(again, visitOf(again, 'R-114'), { dropped: false, pinned: true });
    expect(back.body).toMatchObject({ dropped: false, pinned: true, day: MONDAY });

    const confirmed = await confirm(again);
    expect(confirmed.confirmedAt).toBe('2026-04-02T15:00:00.000Z');
    // Asked again, it is answered alike, and done once.
    expect((await confirm(again)).confirmedAt).toBe(confirmed.confirmedAt);
    const { items } = await read('/v1/visits');
    expect(items).toMatchObject([
      { state: 'planned', day: MONDAY, missed: false, vehicle: { unitNumber: 'R-114' }, hours: 4.8 },
      { state: 'planned', day: '2026-04-21', vehicle: { unitNumber: 'T-1' } },
    ]);
    const [first] = items;
    expect(first.lines.map(({ state }: any) => state)).toEqual(['open', 'open', 'open']);

    const pump = (await dueLines()).find(({ component }) => component === 'water-pump');
    expect(pump.visit).toEqual({ id: first.id, on: MONDAY, assignedTo: null });
    const events = async () => {
      const feed = await fleet.dashboard.get('/v1/due-list.ics');
      return new ICAL.Component(ICAL.parse(feed.body))
        .getAllSubcomponents('vevent')
        .map((one) => new ICAL.Event(one));
    };
    const event = (await events()).find(({ uid }) => uid === `visit.${first.id}@weephole`);
    expect(event?.startDate.toString()).toBe(MONDAY);
    expect(event?.summary).toBe('R-114: visit, replace coolant, inspect drive belt and replace water pump');
    expect((await events()).map(({ description }) => description).join()).toContain(
      'To be done at the visit on April 6, 2026.',
    );
    const card = `/v1/vehicles/${scenario.vehicleId}/job-card`;
    expect((await read(card)).visits).toMatchObject([{ id: first.id, day: MONDAY, depotName: 'Ridge' }]);
    expect(await read(`${card}?format=html`)).toMatch(/Planned visit[^]*<b>Monday, April 6, 2026</);

    // Confirmed lines are not planned twice.
    expect(await ask()).toMatchObject({ visits: [], leftForLater: [], cost: { total: 0 }, gap: 0 });

    service.clock.moveTo('2026-04-06T20:00:00Z');
    const report = await fleet.mechanic.post('/v1/job-reports', {
      ...{ vehicleId: scenario.vehicleId, performedAt: '2026-04-06T18:00:00Z' },
      lines: [
        { component: 'water-pump', action: 'replace' },
        { component: 'coolant', action: 'replace' },
      ],
    });
    expect(report.status).toBe(201);
    const partly = await read(`/v1/visits/${first.id}`);
    expect(partly).toMatchObject({ state: 'planned' });
    const lineOf = (visit: any, component: string) =>
      visit.lines.find((line: any) => line.component === component);
    expect(lineOf(partly, 'water-pump')).toMatchObject({
      state: 'done',
      doneOn: MONDAY,
      jobReportId: report.body.id,
    });
    expect(lineOf(partly, 'drive-belt')).toMatchObject({ state: 'open', doneOn: null });
    expect((await dueLines()).find(({ component }) => component === 'water-pump').visit).toBeNull();
    const rest = await fleet.mechanic.post('/v1/job-reports', {
      ...{ vehicleId: scenario.vehicleId, performedAt: '2026-04-06T19:00:00Z' },
      lines: [{ component: 'drive-belt', action: 'inspect' }],
    });
    expect(await read(`/v1/visits/${first.id}`)).toMatchObject({ state: 'done' });
    expect((await read('/v1/visits?state=done')).items.map(({ id }: any) => id)).toEqual([first.id]);
    expect((await read('/v1/visits')).items).toHaveLength(1);
    expect((await events()).map(({ uid }) => uid)).not.toContain(`visit.${first.id}@weephole`);

    for (const { body } of [report, rest])
      expect(
        (await fleet.manager.post(`/v1/job-reports/${body.id}/void`, { reason: 'the wrong vehicle' })).status,
      ).toBe(200);
    const reopened = await read(`/v1/visits/${first.id}`);
    expect(reopened).toMatchObject({ state: 'planned' });
    expect(reopened.lines.map(({ state, doneOn }: any) => [state, doneOn])).toEqual(
      Array.from({ length: 3 }, () => ['open', null]),
    );
    expect((await dueLines()).find(({ component }) => component === 'water-pump').visit.id).toBe(first.id);
    service.clock.moveTo('2026-04-08T20:00:00Z');
    expect((await read('/v1/visits')).items[0]).toMatchObject({ id: first.id, missed: true });

    const rebuilt = await rebuildAll({ databaseUrl: service.database.url, schema, clock: service.clock });
    expect(rebuilt.differences).toEqual([]);
  });

  it('can be cancelled visit by visit, and then the lines can be planned again', async () => {
    const plan = await confirm(await ask());
    const [visit] = (await read('/v1/visits')).items;
    const cancel = (reason: string) => fleet.manager.post(`/v1/visits/${visit.id}/cancel`, { reason });
    const cancelled = await cancel('no pump in stock');
    expect([cancelled.status, cancelled.body]).toEqual([
      200,
      expect.objectContaining({
        state: 'cancelled',
        cancelReason: 'no pump in stock',
        visitPlanId: plan.id,
        version: 2,
      }),
    ]);
    expect(cancelled.body.lines.map(({ state }: any) => state)).toEqual(Array(3).fill('released'));
    expect((await cancel('no pump in stock')).status).toBe(200);
    expect((await cancel('another reason')).status).toBe(409);
    expect((await read('/v1/visits')).items).toEqual([]);
    expect((await read('/v1/visits?state=cancelled')).items).toHaveLength(1);
    expect((await dueLines()).map((line) => line.visit)).toEqual(expect.arrayContaining([null]));
    expect((await ask()).visits).toHaveLength(1);
    const kinds = (await fleet.manager.get('/v1/audit?kind=visit')).body.items;
    expect(kinds).toMatchObject([{ action: 'cancelled', subjectId: visit.id }]);
    const actions = (await fleet.manager.get(`/v1/audit?id=${plan.id}`)).body.items.map(
      ({ action }: any) => action,
    );
    expect(actions.sort()).toEqual(['confirmed', 'created']);
  });

  it('follows a vehicle that leaves the depot, and can be discarded', async () => {
    const valley = (await fleet.manager.post('/v1/depots', { name: 'Valley' })).body.id;
    await confirm(await ask());
    const [visit] = (await read('/v1/visits')).items;
    const move = (body: object) => fleet.manager.patch(`/v1/vehicles/${scenario.vehicleId}`, body);
    expect((await move({ depotId: valley })).status).toBe(200);
    expect(await read(`/v1/visits/${visit.id}`)).toMatchObject({ state: 'lapsed' });
    expect((await read('/v1/visits')).items).toEqual([]);
    expect((await read('/v1/visits?state=lapsed')).items).toHaveLength(1);
    expect((await ask()).visits).toMatchObject([{ depotId: valley }]);
    expect((await move({ depotId: scenario.depotId })).status).toBe(200);
    expect(await read(`/v1/visits/${visit.id}`)).toMatchObject({ state: 'planned' });
    expect((await move({ status: 'disposed' })).status).toBe(200);
    expect(await read(`/v1/visits/${visit.id}`)).toMatchObject({ state: 'lapsed' });
    const bound = await fleet.manager.post('/v1/tokens', {
      name: 'valley',
      role: 'dashboard',
      depotIds: [valley],
    });
    expect((await service.client(bound.body.token).get('/v1/visits?state=lapsed')).body.items).toEqual([]);
    expect((await service.client(bound.body.token).get(`/v1/visits/${visit.id}`)).status).toBe(404);
    expect((await service.client(bound.body.token).get('/v1/visit-plans')).status).toBe(403);
  });

  it('keeps to the labour hours and working days of a depot', async () => {
    const days = { workingDays: ['monday', 'tuesday', 'wednesday'], closedOn: [MONDAY, '2026-04-07'] };
    const ridge = `/v1/depots/${scenario.depotId}`;
    const depot = await fleet.manager.patch(ridge, { labourHoursPerDay: 5, ...days });
    expect(depot.body).toMatchObject({ labourHoursPerDay: 5, ...days });
    const { depotId, specSheetId, intervalPlanId } = scenario;
    const rest = { depotId, specSheetId, intervalPlanId, duty: 'severe', inServiceOn: '2021-03-15' };
    for (const unitNumber of ['A-1', 'A-2'])
      expect((await fleet.manager.post('/v1/vehicles', { unitNumber, ...rest })).status).toBe(201);
    const dear = { downtimeCostPerDay: 2000, latenessCostPerDay: 1 };
    const plan = await ask({ to: '2026-04-13', ...dear });
    // Two working days of 5 h, and three vehicles of 4.8 h each; a day out is so dear that each
    // comes in once.
    expect(plan.visits.map(({ day }: any) => day)).toEqual(['2026-04-08', '2026-04-13']);
    expect(plan.leftForLater).toHaveLength(3);
    for (const line of plan.leftForLater)
      expect(line.reason).toMatchObject({
        code: 'visit-left-for-dearer-work',
        text: expect.stringMatching(/labour goes to work that costs more to leave/),
      });

    const [first, second] = plan.visits;
    const fault = async (day: string, visit = first): Promise<string> => {
      const { status, body } = await change(plan, visit, { day });
      expect([status, body.errors[0].pointer]).toEqual([422, '/day']);
      return body.errors[0].detail;
    };
    expect(await fault('2026-04-13')).toBe(
      'On 2026-04-13, 4.8 h of the 5 h of labour at Ridge are taken. This visit takes 4.8 h.',
    );
    expect(await fault('2026-04-10')).toBe(
      '2026-04-10 is a Friday, and Ridge does not work on that day of the week.',
    );
    expect(await fault('2026-04-07')).toBe('Ridge is closed on 2026-04-07.');
    expect(await fault('2026-04-14')).toBe(
      '2026-04-14 is outside the plan, which runs from 2026-04-06 to 2026-04-13.',
    );
    service.clock.moveTo('2026-04-09T15:00:00Z');
    expect(await fault('2026-04-08', second)).toBe('2026-04-08 is past. Today is 2026-04-09.');
    service.clock.moveTo(NOW);

    // What another plan has taken meanwhile is not there twice.
    const other = await ask({ to: '2026-04-13', ...dear });
    await confirm(plan);
    const refused = await fleet.manager.post(`/v1/visit-plans/${other.id}/confirm`);
    expect([refused.status, refused.body.type]).toEqual([
      409,
      expect.stringMatching(/nothing-to-confirm|hours-taken/),
    ]);
    expect(await ask({ to: '2026-04-13' })).toMatchObject({ visits: [] });
    // Nor is a visit whose hours are no longer at hand.
    const late = await ask({ to: '2026-04-15', ...dear });
    expect(late.visits.map(({ day }: any) => day)).toEqual(['2026-04-14']);
    await fleet.manager.patch(ridge, { labourHoursPerDay: 4 });
    const short = await fleet.manager.post(`/v1/visit-plans/${late.id}/confirm`);
    expect([short.status, short.body.detail]).toEqual([
      409,
      'By now there is more work than labour: 2026-04-14 at Ridge (4.8 h of 4 h). Solve the plan again, or move or drop visits.',
    ]);
  });

  it('does not confirm what was done since it was solved, and says so', async () => {
    await addThermostat();
    const plan = await ask();
    await fleet.mechanic.post('/v1/job-reports', {
      ...{ vehicleId: scenario.vehicleId, performedAt: '2026-04-02T14:00:00Z' },
      lines: [{ component: 'water-pump', action: 'replace' }],
    });
    const confirmed = await confirm(plan);
    expect(confirmed.leftForLater).toMatchObject([
      {
        component: 'water-pump',
        reason: {
          code: 'visit-left-done-since',
          text: 'It was done on 2026-04-02, after the plan was solved.',
        },
      },
    ]);
    expect(visitOf(confirmed, 'R-114').lines).toHaveLength(2);
    // Without the pump: take-in 0.3, drain and fill 1.5, coolant 0.3, inspection 0.2.
    expect((await read('/v1/visits')).items[0]).toMatchObject({ hours: 2.3, lines: { length: 2 } });
  });

  it('joins a visit that is moved to a day on which its vehicle comes in already', async () => {
    // Going early costs so much life here, and a day out so little, that both stand by themselves.
    const { depotId } = scenario;
    const intervals = [
      {
        component: 'thermostat',
        action: 'replace',
        everyMonths: 1,
        window: { days: 20 },
        grace: { days: 9 },
      },
      {
        component: 'heater-core',
        action: 'replace',
        everyMonths: 2,
        window: { days: 40 },
        grace: { days: 9 },
      },
    ];
    const intervalPlanId = (await fleet.manager.post('/v1/interval-plans', { name: 'Short', intervals })).body
      .id;
    await fleet.manager.post('/v1/vehicles', {
      ...{ unitNumber: 'J-1', depotId, intervalPlanId, inServiceOn: '2026-03-10' },
    });
    const plan = await ask({ to: '2026-05-11', downtimeCostPerDay: 0, latenessCostPerDay: 1000 });
    const visits = plan.visits.filter(({ vehicle }: any) => vehicle.unitNumber === 'J-1');
    expect(visits).toHaveLength(2);
    const [early, late] = visits;
    const joined = await change(plan, late, { day: early.day });
    expect([joined.status, joined.body]).toEqual([
      200,
      expect.objectContaining({ id: early.id, day: early.day, pinned: true }),
    ]);
    expect(joined.body.lines).toHaveLength(2);
    expect(joined.body.hours).toBeLessThan(early.hours + late.hours);
    expect((await change(plan, late, { pinned: true })).status).toBe(404);
    const again = await solveAgain(plan);
    expect(visitOf(again, 'J-1')).toMatchObject({ id: early.id, lines: { length: 2 } });
  });

  it('is taken over from a dead worker, and solved once however often it is requested', async () => {
    const plan = await ask();
    const { admin } = service.database;
    await admin.query(
      `update visit_plans set state = 'solving', attempts = 1, round = round + 1 where id = $1`,
      [plan.id],
    );
    const taken = await solvedPlan(fleet.manager, plan.id);
    expect(taken).toMatchObject({ state: 'solved', visits: [{ day: MONDAY }] });
    const { rows } = await admin.query('select attempts, round from visit_plans where id = $1', [plan.id]);
    expect(rows).toEqual([{ attempts: 2, round: 2 }]);
    const { PlanSolvingService } = await import('../../../src/planning/visit-plans/plan-solving.service.js');
    const solving = service.app.get(PlanSolvingService, { strict: false });
    await Promise.all([solving.solve(fleet.fleetId, plan.id, 2), solving.solve(fleet.fleetId, plan.id, 1)]);
    expect((await fleet.manager.get(`/v1/visit-plans/${plan.id}`)).body).toEqual(taken);
    // One that brings every worker down is given up.
    await admin.query(`update visit_plans set state = 'solving', attempts = 3, round = 3 where id = $1`, [
      plan.id,
    ]);
    expect(await solvedPlan(fleet.manager, plan.id)).toMatchObject({
      state: 'failed',
      visits: [],
      problem: {
        code: 'plan-given-up',
        values: { times: 3 },
        text: expect.stringMatching(/^The worker began it 3 times/),
      },
    });
    expect(await solveAgain(plan)).toMatchObject({ state: 'solved', problem: null });
  });

  it('says what is wrong with a request, a change or its timing', async () => {
    const good = { from: '2026-04-06', to: '2026-05-01', ...RATES };
    const refused = async (body: object): Promise<[number, string, string]> => {
      const answer = await fleet.manager.post('/v1/visit-plans', { ...good, ...body });
      return [answer.status, answer.body.errors[0].pointer, answer.body.errors[0].detail];
    };
    expect(await refused({ to: '2026-04-05' })).toEqual([
      422,
      '/to',
      '2026-04-05 is before from, 2026-04-06. Were the two exchanged?',
    ]);
    expect(await refused({ from: '2026-04-01' })).toEqual([
      422,
      '/from',
      '2026-04-01 is past. The first day that can be planned is today, 2026-04-02.',
    ]);
    expect(await refused({ to: '2026-07-07' })).toEqual([
      422,
      '/to',
      'The plan would run to 2026-07-07, which is 93 days. A plan has at most 92 days: it can run to 2026-07-06.',
    ]);
    expect(await refused({ depotIds: [scenario.depotId, fleet.fleetId] })).toEqual([
      422,
      '/depotIds/1',
      'There is no such depot in this fleet.',
    ]);
    expect((await refused({ depotIds: [] }))[1]).toBe('/depotIds');
    expect(await refused({ labourRate: -1 })).toEqual([
      422,
      '/labourRate',
      'is -1; it must be from 0 to 1000000',
    ]);
    await addThermostat();
    const plan = await ask();
    const visit = visitOf(plan, 'T-1');
    const early = await change(plan, visit, { day: '2026-04-17' });
    expect(early.body.errors[0]).toMatchObject({
      pointer: '/day',
      code: 'visit-day-before-window',
      detail:
        '2026-04-17 is too early for thermostat: replace. Its window opens on 2026-04-20. That is the earliest day for this visit.',
    });
    expect((await change(plan, visit, { day: '2026-04-21', pinned: false })).body.errors[0].pointer).toBe(
      '/pinned',
    );
    expect((await change(plan, visit, { day: '2026-04-21', dropped: true })).body.errors[0].pointer).toBe(
      '/day',
    );
    expect((await change(plan, visit, { pinned: true, dropped: true })).body.errors[0].pointer).toBe(
      '/pinned',
    );
    expect((await change(plan, visit, { day: null })).body.errors[0].pointer).toBe('/day');
    const stale = await fleet.manager.patch(
      `/v1/visit-plans/${plan.id}/visits/${visit.id}`,
      { pinned: true },
      { 'if-match': '"7"' },
    );
    expect(stale.status).toBe(412);
    await confirm(plan);
    for (const answer of [
      await change(plan, visit, { pinned: true }),
      await fleet.manager.post(`/v1/visit-plans/${plan.id}/solve`),
      await fleet.manager.delete(`/v1/visit-plans/${plan.id}`),
    ])
      expect([answer.status, answer.body.type]).toEqual([409, '/problems/confirmed-already']);
    const another = await ask();
    expect((await fleet.manager.get('/v1/visit-plans?limit=1')).body).toMatchObject({
      items: [{ id: another.id }],
      next: expect.any(String),
    });
    expect((await fleet.manager.delete(`/v1/visit-plans/${another.id}`)).status).toBe(204);
    expect((await fleet.manager.get(`/v1/visit-plans/${another.id}`)).status).toBe(404);
    const empty = await ask({ from: '2026-04-04', to: '2026-04-05' });
    expect((await fleet.manager.post(`/v1/visit-plans/${empty.id}/confirm`)).body.type).toBe(
      '/problems/nothing-to-confirm',
    );
  });
});
