import { ConclusionsService } from '../../../src/conclusions/pipeline/conclusions.service.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';
import { assignVehicle } from '../../support/vehicles.js';
import { inText } from '../../support/told.js';

const PUMP = {
  component: 'water-pump',
  action: 'replace',
  item: null,
  everyDistance: { value: 100_000, unit: 'mi' },
  everyMonths: 96,
  everyEngineHours: null,
  first: null,
  severe: { everyDistance: { value: 60_000, unit: 'mi' }, everyMonths: 60 },
  window: { distance: { value: 2000, unit: 'mi' }, days: 30 },
  grace: { days: 14 },
  anchor: 'completion',
};

describe('interval plans', () => {
  let service: Service;
  let fleet: FleetHandle;

  beforeAll(async () => {
    service = await startService({ at: '2026-04-02T15:00:00Z' });
  });
  beforeEach(async () => {
    fleet = await service.newFleet({ units: 'us', timeZone: 'America/Denver' });
  });
  afterAll(() => service.stop());

  const post = (intervals: unknown, name = 'Light trucks') =>
    fleet.manager.post('/v1/interval-plans', { name, intervals });
  const postPump = (changes: object) => post([{ ...PUMP, ...changes }]);

  it('are stored in the order written, and shown in the reader’s units', async () => {
    const coolant = {
      component: 'coolant',
      action: 'replace',
      everyMonths: 60,
      everyEngineHours: { value: 3000, unit: 'h' },
      first: { everyMonths: 120 },
      severe: { everyMonths: 36, first: { everyMonths: 60 } },
      anchor: 'schedule',
    };
    const created = await post([PUMP, coolant]);
    expect(created.status).toBe(201);
    expect(created.headers.get('etag')).toBe('"1"');
    const nothing = { everyDistance: null, everyMonths: null, everyEngineHours: null };
    expect(created.body).toEqual({
      id: expect.any(String),
      name: 'Light trucks',
      intervals: [
        {
          ...PUMP,
          beforeSeason: false,
          severe: { ...PUMP.severe, everyEngineHours: null, first: null },
          window: { ...PUMP.window, engineHours: null },
          grace: { distance: null, days: 14, engineHours: null },
        },
        {
          ...nothing,
          ...coolant,
          item: null,
          first: { ...nothing, everyMonths: 120 },
          severe: { ...nothing, everyMonths: 36, first: { ...nothing, everyMonths: 60 } },
          beforeSeason: false,
          window: null,
          grace: null,
        },
      ],
      starter: null,
      version: 1,
    });
    const path = `/v1/interval-plans/${created.body.id}`;
    expect((await fleet.mechanic.get(path)).body).toEqual(created.body);
    const metric = await fleet.dashboard.get(`${path}?units=si`);
    // 1 mi = 1.609344 km exactly (NIST SP 811, appendix B).
    expect(metric.body.intervals[0].everyDistance).toEqual({ value: 160_934.4, unit: 'km' });
  });

  it('are stored in the canonical units that due points use', async () => {
    const { body } = await post([{ ...PUMP, anchor: undefined }]);
    const { rows } = await service.database.admin.query(
      'select intervals from interval_plans where id = $1',
      [body.id],
    );
    expect(rows[0].intervals).toEqual([
      {
        component: 'water-pump',
        action: 'replace',
        item: null,
        everyKm: expect.closeTo(160_934.4, 6),
        everyMonths: 96,
        everyHours: null,
        first: null,
        severe: { everyKm: expect.closeTo(96_560.64, 6), everyMonths: 60, everyHours: null, first: null },
        window: { km: expect.closeTo(3218.688, 6), days: 30, hours: null },
        grace: { km: null, days: 14, hours: null },
        beforeSeason: false,
        anchor: 'completion',
      },
    ]);
  });

  it('may have the same work on two items, but not twice on one', async () => {
    const belt = { component: 'drive-belt', action: 'replace', everyMonths: 60 };
    const apart = await post([
      { ...belt, item: 'accessory' },
      { ...belt, item: 'fan' },
      { ...belt },
      { ...belt, action: 'inspect', everyMonths: 12 },
    ]);
    expect(apart.status).toBe(201);
    const twice = await post(
      [{ ...belt, item: 'accessory' }, PUMP, { ...belt, item: ' Accessory' }],
      'Twice',
    );
    expect(twice.status).toBe(422);
    expect(inText(twice.body.errors)).toEqual([
      {
        pointer: '/intervals/2',
        detail:
          'The plan has this work twice: drive belt (Accessory): replace. It is already in /intervals/0.',
      },
    ]);
    const noItem = await post([belt, belt], 'No item');
    expect(noItem.body.errors.map((error: any) => error.pointer)).toEqual(['/intervals/1']);
  });

  it('may not contain an interval that would never come due, and the answer points at it', async () => {
    const never = { component: 'thermostat', action: 'replace' };
    const refused = await post([PUMP, { ...never, severe: { everyMonths: 12 } }]);
    expect(refused.status).toBe(422);
    expect(inText(refused.body.errors)).toEqual([
      {
        pointer: '/intervals/1',
        detail: expect.stringContaining('Give at least one of everyDistance, everyMonths, everyEngineHours'),
      },
    ]);
  });

  it.each([
    [{ first: {} }, '/intervals/0/first'],
    [{ severe: {} }, '/intervals/0/severe'],
    [{ severe: { first: {}, everyMonths: 12 } }, '/intervals/0/severe/first'],
    [{ severe: { everyMonths: 97 } }, '/intervals/0/severe/everyMonths'],
    [{ severe: { everyDistance: { value: 170_000, unit: 'km' } } }, '/intervals/0/severe/everyDistance'],
    [{ window: { days: 60 * 28 } }, '/intervals/0/window/days'],
    [{ window: { distance: { value: 60_000, unit: 'mi' } } }, '/intervals/0/window/distance'],
    [{ grace: { distance: { value: 100_000, unit: 'mi' } } }, '/intervals/0/grace/distance'],
    [{ grace: { days: -1 } }, '/intervals/0/grace/days'],
    [{ grace: { days: 1.5 } }, '/intervals/0/grace/days'],
    [{ everyMonths: 0 }, '/intervals/0/everyMonths'],
    [{ everyMonths: 7.5 }, '/intervals/0/everyMonths'],
    [{ everyMonths: 9999 }, '/intervals/0/everyMonths'],
    [{ everyMonths: '96' }, '/intervals/0/everyMonths'],
    [{ everyDistance: { value: 0, unit: 'mi' } }, '/intervals/0/everyDistance'],
    [{ everyDistance: { value: 100_000, unit: 'h' } }, '/intervals/0/everyDistance'],
    [{ everyDistance: 100_000 }, '/intervals/0/everyDistance'],
    [{ everyEngineHours: { value: 3000, unit: 'mi' } }, '/intervals/0/everyEngineHours'],
    [{ component: 'pump' }, '/intervals/0/component'],
    [{ action: 'fix' }, '/intervals/0/action'],
    [{ anchor: 'calendar' }, '/intervals/0/anchor'],
    [{ item: '' }, '/intervals/0/item'],
    [{ every: 5 }, '/intervals/0/every'],
    [{ severe: { window: { days: 3 } } }, '/intervals/0/severe/window'],
  ])('refuse %j and point at it', async (changes, pointer) => {
    const refused = await postPump(changes);
    expect(refused.status).toBe(422);
    expect(refused.body.errors.map((error: any) => error.pointer)).toContain(pointer);
    expect(refused.body.errors).toHaveLength(1);
  });

  it.each([
    [{ first: {} }, 'It is empty. Give everyDistance, everyMonths or everyEngineHours.'],
    [
      { severe: { everyMonths: 97 } },
      '97 months are longer than the 96 months under normal duty. Were the two swapped?',
    ],
    [
      { severe: { everyDistance: { value: 170_000, unit: 'km' } } },
      '170,000 km is longer than the 100,000 mi under normal duty. Were the two swapped?',
    ],
    [{ window: { days: 60 * 28 } }, '1,680 days are as long as the interval of 60 months itself. Give less.'],
    [
      { grace: { distance: { value: 100_000, unit: 'mi' } } },
      '100,000 mi is as long as the interval of 60,000 mi itself. Give less.',
    ],
  ])('says of %j what is wrong', async (changes, detail) => {
    expect((await postPump(changes)).body.errors).toMatchObject([{ detail }]);
  });

  it('must have intervals', async () => {
    for (const intervals of [[], null, undefined, {}, [[]], [null]]) {
      const refused = await post(intervals);
      expect(refused.status).toBe(422);
      expect(refused.body.errors[0].pointer).toMatch(/^\/intervals/);
    }
  });

  it('change by merge patch under If-Match, and update their vehicles’ conclusions', async () => {
    const { body: plan } = await post([PUMP]);
    const path = `/v1/interval-plans/${plan.id}`;
    const conclusions = service.app.get(ConclusionsService, { strict: false });
    const own = conclusions.refreshTouched.bind(conclusions);
    const heard: unknown[] = [];
    const refreshing = jest.spyOn(conclusions, 'refreshTouched').mockImplementation((tx, touched) => {
      heard.push(touched);
      return own(tx, touched);
    });
    const changed = await fleet.manager.patch(
      path,
      { intervals: [{ component: 'coolant', action: 'replace', everyMonths: 60 }] },
      { 'if-match': '"1"', 'content-type': 'application/merge-patch+json' },
    );
    refreshing.mockRestore();
    expect(changed.status).toBe(200);
    expect(changed.headers.get('etag')).toBe('"2"');
    expect(changed.body).toMatchObject({ name: 'Light trucks', version: 2 });
    expect(changed.body.intervals).toHaveLength(1);
    expect(heard).toEqual([{ intervalPlanId: plan.id }]);
    expect((await fleet.manager.patch(path, { name: 'X' }, { 'if-match': '"1"' })).status).toBe(412);
    const renamed = await fleet.manager.patch(path, { name: 'Vans' });
    expect(renamed.body).toEqual({ ...changed.body, name: 'Vans', version: 3 });
    const bad = await fleet.manager.patch(path, { intervals: [{ component: 'coolant', action: 'replace' }] });
    expect(bad.body.errors[0].pointer).toBe('/intervals/0');
  });

  it('have unique names in a fleet, and page by name', async () => {
    for (const name of ['b', 'c', 'a']) expect((await post([PUMP], name)).status).toBe(201);
    expect((await post([PUMP], 'b')).body).toMatchObject({ status: 409, errors: [{ pointer: '/name' }] });
    const first = await fleet.dashboard.get('/v1/interval-plans?limit=2');
    expect(first.body.items.map((plan: any) => plan.name)).toEqual(['a', 'b']);
    const second = await fleet.dashboard.get(`/v1/interval-plans?limit=2&cursor=${first.body.next}`);
    expect(second.body.items.map((plan: any) => plan.name)).toEqual(['c']);
    // A cursor belongs to the list it came from.
    const elsewhere = await fleet.dashboard.get(`/v1/spec-sheets?cursor=${first.body.next}`);
    expect(elsewhere.status).toBe(400);
  });

  it('belong to one fleet and are written by managers', async () => {
    const { body: plan } = await post([PUMP]);
    const path = `/v1/interval-plans/${plan.id}`;
    const other = await service.newFleet();
    expect((await other.manager.get(path)).status).toBe(404);
    expect((await other.manager.patch(path, { name: 'Mine' })).status).toBe(404);
    expect((await other.manager.patch(`${path}?dryRun=true`, { name: 'Mine' })).status).toBe(404);
    expect((await other.manager.delete(path)).status).toBe(404);
    for (const client of [fleet.mechanic, fleet.dashboard]) {
      expect((await client.post('/v1/interval-plans', { name: 'x', intervals: [PUMP] })).status).toBe(403);
      expect((await client.patch(`${path}?dryRun=true`, { name: 'No' })).status).toBe(403);
      expect((await client.delete(path)).status).toBe(403);
    }
  });

  it('can be deleted if no vehicle has or ever had them', async () => {
    const { body: unused } = await post([PUMP], 'unused');
    expect((await fleet.manager.delete(`/v1/interval-plans/${unused.id}`)).status).toBe(204);
    expect((await fleet.manager.get(`/v1/interval-plans/${unused.id}`)).status).toBe(404);
    const { body: used } = await post([PUMP], 'used');
    await assignVehicle(service, fleet, { interval_plan_id: used.id }, { interval_plan_id: used.id });
    const { body: once } = await post([PUMP], 'once');
    await assignVehicle(service, fleet, {}, { interval_plan_id: once.id });
    for (const { id } of [used, once]) {
      const refused = await fleet.manager.delete(`/v1/interval-plans/${id}`);
      expect(refused.status).toBe(409);
      expect(refused.body.type).toBe('/problems/in-use');
      expect((await fleet.manager.get(`/v1/interval-plans/${id}`)).status).toBe(200);
    }
  });

  describe('tried out with dryRun', () => {
    /**
     * Two vehicles in service for five years: eight-year pumps are not due, four-year ones are a
     * year past.
     */
    async function planWithVehicles(): Promise<string> {
      const { body: plan } = await post([{ ...PUMP, severe: null }]);
      for (const unitNumber of ['R-1', 'R-2']) {
        const vehicle = await fleet.manager.post('/v1/vehicles', {
          unitNumber,
          intervalPlanId: plan.id,
          inServiceOn: '2021-03-15',
          inServiceOdometer: { value: 12, unit: 'mi' },
        });
        expect(vehicle.status).toBe(201);
      }
      return plan.id;
    }

    const dueLines = async (): Promise<{ due_on: string }[]> =>
      (
        await service.database.admin.query(
          'select component, action, due_on::text, is_open from due_lines where fleet_id = $1 order by id',
          [fleet.fleetId],
        )
      ).rows;

    it('says how many lines would come due, and stores nothing', async () => {
      const id = await planWithVehicles();
      const path = `/v1/interval-plans/${id}`;
      const before = await dueLines();
      // In service on 15 March 2021, every 96 calendar months: due on 15 March 2029.
      expect(before.map(({ due_on }) => due_on)).toEqual(['2029-03-15', '2029-03-15']);
      const shorter = { intervals: [{ ...PUMP, severe: null, everyMonths: 48 }] };
      const tried = await fleet.manager.patch(`${path}?dryRun=true`, shorter);
      expect(tried.status).toBe(200);
      expect(tried.headers.get('etag')).toBeNull();
      // Late too: it was due a year ago, and the grace is two weeks.
      const earlier = { wouldBecomeLate: 2, wouldMoveEarlier: 2, wouldMoveLater: 0 };
      const asBefore = { wouldBegin: 0, wouldEnd: 0 };
      expect(tried.body).toEqual({
        ...{ dryRun: true, asOf: '2026-04-02', wouldComeDue: 2, wouldNotBeDue: 0 },
        ...{ ...earlier, ...asBefore },
      });
      expect(await dueLines()).toEqual(before);
      expect((await fleet.manager.get(path)).body).toMatchObject({
        version: 1,
        intervals: [{ everyMonths: 96 }],
      });

      expect((await fleet.manager.patch(path, shorter)).status).toBe(200);
      // Every 48 months: due on 15 March 2025.
      expect((await dueLines()).map(({ due_on }) => due_on)).toEqual(['2025-03-15', '2025-03-15']);
      const back = await fleet.manager.patch(`${path}?dryRun=true`, {
        intervals: [{ ...PUMP, severe: null }],
      });
      expect(back.body).toMatchObject({ wouldComeDue: 0, wouldNotBeDue: 2, wouldBecomeLate: 0 });
      expect(back.body).toMatchObject({ wouldMoveEarlier: 0, wouldMoveLater: 2 });
      const other = await fleet.manager.patch(`${path}?dryRun=true`, {
        intervals: [
          { ...PUMP, severe: null, everyMonths: 48, component: 'tensioner' },
          { component: 'idler', action: 'inspect', everyMonths: 12 },
        ],
      });
      expect(other.body).toMatchObject({ wouldBegin: 4, wouldEnd: 2, wouldMoveEarlier: 0 });
      const same = await fleet.manager.patch(`${path}?dryRun=true`, { name: 'Only a name' });
      expect(same.body).toMatchObject({ wouldComeDue: 0, wouldNotBeDue: 0 });
      expect((await fleet.manager.get(path)).body.name).toBe('Light trucks');
    });

    it("uses the fleet's day, not the server's", async () => {
      // In service on 2 March 2021, every 61 months: due on 2 April 2026, which begins in Denver at
      // 06:00 UTC.
      const { body: plan } = await post([{ ...PUMP, severe: null }]);
      await fleet.manager.post('/v1/vehicles', {
        unitNumber: 'R-3',
        intervalPlanId: plan.id,
        inServiceOn: '2021-03-02',
      });
      const path = `/v1/interval-plans/${plan.id}?dryRun=true`;
      const patch = { intervals: [{ ...PUMP, severe: null, everyMonths: 61 }] };
      service.clock.moveTo('2026-04-02T05:59:00Z');
      const evening = await fleet.manager.patch(path, patch);
      service.clock.moveTo('2026-04-02T06:01:00Z');
      const midnight = await fleet.manager.patch(path, patch);
      service.clock.moveTo('2026-04-02T15:00:00Z');
      expect(evening.body).toMatchObject({ asOf: '2026-04-01', wouldComeDue: 0 });
      expect(midnight.body).toMatchObject({ asOf: '2026-04-02', wouldComeDue: 1 });
    });

    it('refuses what the change itself would be refused for', async () => {
      const { body: plan } = await post([PUMP]);
      const path = `/v1/interval-plans/${plan.id}?dryRun=true`;
      expect((await fleet.manager.patch(path, { intervals: [] })).status).toBe(422);
      expect((await fleet.manager.patch(path, { name: 'X' }, { 'if-match': '"7"' })).status).toBe(412);
      expect((await fleet.manager.patch(path.replace('true', 'maybe'), { name: 'X' })).status).toBe(400);
      await post([PUMP], 'Taken');
      expect((await fleet.manager.patch(path, { name: 'Taken' })).status).toBe(409);
    });
  });
});
