import { addDays } from '../../../src/domain/calendar/civil-date.js';
import { rebuildAll } from '../../../src/conclusions/pipeline/rebuild.js';
import { schema } from '../../../src/schema.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';
import { inText } from '../../support/told.js';

const DAY = 86_400_000;
const NOW = '2026-04-02T18:00:00Z';

// The used share carries over, limit by limit: common practice, no source. Dates and distances are
// reckoned by hand.
describe('a vehicle that changes', () => {
  let service: Service;
  let fleet: FleetHandle;
  let count = 0;

  beforeAll(async () => {
    service = await startService({ at: NOW });
    fleet = await service.newFleet({ timeZone: 'America/Denver', units: 'si' });
  });
  afterAll(() => service.stop());
  beforeEach(() => service.clock.moveTo(NOW));

  const km = (value: number) => ({ value, unit: 'km' });

  async function plan(interval: object): Promise<string> {
    const { status, body } = await fleet.manager.post('/v1/interval-plans', {
      name: `Plan ${++count}`,
      intervals: [{ component: 'coolant', action: 'replace', ...interval }],
    });
    expect([status, inText(body.errors)]).toEqual([201, undefined]);
    return body.id;
  }

  async function vehicle(extra: object): Promise<string> {
    const { status, body } = await fleet.manager.post('/v1/vehicles', {
      unitNumber: `X-${++count}`,
      ...extra,
    });
    expect([status, inText(body.errors)]).toEqual([201, undefined]);
    return body.id;
  }

  async function change(id: string, patch: object): Promise<any> {
    const { status, body } = await fleet.manager.patch(`/v1/vehicles/${id}`, patch);
    expect([status, inText(body.errors)]).toEqual([200, undefined]);
    return body;
  }

  /**
   * A reading a day at the start of each (06:00 UTC is midnight in Denver), from the first day on.
   */
  async function readDaily(vehicleId: string, firstOn: string, days: number, perDay: number): Promise<void> {
    const readings = Array.from({ length: days + 1 }, (_, day) => ({
      vehicleId,
      readAt: new Date(Date.parse(`${addDays(firstOn, day)}T07:00:00Z`)).toISOString(),
      odometer: km(day * perDay),
    }));
    expect((await fleet.mechanic.post('/v1/usage-readings', { readings })).body.accepted).toBe(days + 1);
  }

  const linesOf = async (vehicleId: string): Promise<any[]> =>
    (
      await fleet.dashboard.get(
        `/v1/due-list?vehicleId=${vehicleId}&state=late,due,window,not-due,no-baseline`,
      )
    ).body.items;
  const lineOf = async (vehicleId: string): Promise<any> =>
    (await linesOf(vehicleId)).find(({ origin }) => origin === 'interval');

  describe('its duty or plan', () => {
    const BOTH = {
      everyDistance: km(10_000),
      severe: { everyDistance: km(6000) },
    };

    /**
     * 100 km a day from 1 January: 7,000 km, 70 % of 10,000, at the start of 12 March (standard
     * time, 07:00 UTC until 8 March).
     */
    async function seventyPercent(planId: string): Promise<string> {
      const id = await vehicle({
        intervalPlanId: planId,
        inServiceOn: '2026-01-01',
        inServiceOdometer: km(0),
      });
      await readDaily(id, '2026-01-01', 90, 100);
      return id;
    }

    it('leaves 30 % of the severe interval if 70 % of the normal one was used, and keeps its id', async () => {
      const id = await seventyPercent(await plan(BOTH));
      const before = await lineOf(id);
      expect(before.dueAt.odometer.value).toBeCloseTo(10_000, 6);
      await change(id, { duty: 'severe', effectiveOn: '2026-03-12' });
      const after = await lineOf(id);
      // 12 March begins in Denver at 06:00 UTC, an hour before the reading of 7,000 km: 6,995.8, of
      // which 30.04 % of 6,000 are left.
      expect(after.dueAt.odometer.value).toBeCloseTo(6995.833 + 0.3004167 * 6000, 1);
      expect([after.id, after.lastDone]).toEqual([before.id, before.lastDone]);
      // And back on the same day: as it was.
      await change(id, { duty: 'normal', effectiveOn: '2026-03-12' });
      expect((await lineOf(id)).dueAt.odometer.value).toBeCloseTo(10_000, 6);
    });

    it('does the same for another plan', async () => {
      const id = await seventyPercent(await plan(BOTH));
      const before = await lineOf(id);
      await change(id, {
        intervalPlanId: await plan({ everyDistance: km(6000) }),
        effectiveOn: '2026-03-12',
      });
      const after = await lineOf(id);
      expect(after.dueAt.odometer.value).toBeCloseTo(6995.833 + 0.3004167 * 6000, 1);
      expect(after.id).toBe(before.id);
    });

    it('makes no line due before the day of the change', async () => {
      for (const everyDistance of [500, 2000, 6999])
        for (const effectiveOn of ['2026-02-01', '2026-03-12', '2026-04-02']) {
          const id = await seventyPercent(await plan(BOTH));
          await change(id, { intervalPlanId: await plan({ everyDistance: km(everyDistance) }), effectiveOn });
          expect((await lineOf(id)).dueOn >= effectiveOn).toBe(true);
        }
      // A limit that only the new plan has, and that would have passed two months ago.
      const id = await seventyPercent(await plan(BOTH));
      await change(id, { intervalPlanId: await plan({ everyMonths: 1 }) });
      expect(await lineOf(id)).toMatchObject({ dueOn: '2026-04-02', trigger: 'time' });
    });

    it('leaves what was already due where it was', async () => {
      const id = await seventyPercent(
        await plan({ everyDistance: km(5000), severe: { everyDistance: km(3000) } }),
      );
      const before = await lineOf(id);
      await change(id, { duty: 'severe' });
      expect(await lineOf(id)).toMatchObject({ dueOn: before.dueOn, dueAt: before.dueAt });
    });

    it('keeps the limits by which earlier work was on time', async () => {
      const id = await seventyPercent(await plan(BOTH));
      const before = await lineOf(id);
      const job = await fleet.mechanic.post('/v1/job-reports', {
        vehicleId: id,
        performedAt: '2026-03-31T18:00:00Z',
        lines: [{ component: 'coolant', action: 'replace' }],
      });
      expect(job.body.outcome.resets).toEqual([before.id]);
      const completions = async () =>
        (
          await service.database.admin.query(
            'select due_on::text, late_on::text, window_opens_on::text from completions where job_report_id = $1',
            [job.body.id],
          )
        ).rows;
      const kept = await completions();
      expect(kept).toEqual([
        { due_on: before.dueOn, late_on: before.lateOn, window_opens_on: before.windowOpensOn },
      ]);
      await change(id, { duty: 'severe', effectiveOn: '2026-03-01' });
      expect(await completions()).toEqual(kept);
      // The change lies before the job: the cycle since is a severe one from its start.
      const { dueAt, lastDone } = await lineOf(id);
      expect(dueAt.odometer.value - lastDone.odometer.value).toBeCloseTo(6000, 3);
    });

    it('changes nothing in a dry run, and corrects everything when the plan itself is edited', async () => {
      const planId = await plan(BOTH);
      const id = await seventyPercent(planId);
      const rewritten = { intervals: [{ component: 'coolant', action: 'replace', everyDistance: km(6000) }] };
      const tried = await fleet.manager.patch(`/v1/interval-plans/${planId}?dryRun=true`, rewritten);
      expect(tried.body).toMatchObject({ wouldComeDue: 1, wouldNotBeDue: 0 });
      const before = await lineOf(id);
      expect((await fleet.manager.patch(`/v1/interval-plans/${planId}`, rewritten)).status).toBe(200);
      // As if it had always said so: 6,000 km at 100 km a day after 1 January are 2 March.
      expect(await lineOf(id)).toMatchObject({ id: before.id, dueOn: '2026-03-02' });
    });
  });

  it('is laid up: time continues, and usage only from the day it is back', async () => {
    const id = await vehicle({
      intervalPlanId: await plan({ everyDistance: km(10_000), everyMonths: 12 }),
      inServiceOn: '2026-01-01',
      inServiceOdometer: km(0),
    });
    await readDaily(id, '2026-01-01', 90, 100);
    expect(await lineOf(id)).toMatchObject({ dueOn: '2026-04-11', trigger: 'distance' });
    await change(id, { status: 'laid-up', effectiveOn: '2026-04-01' });
    expect(await lineOf(id)).toMatchObject({ dueOn: '2027-01-01', trigger: 'time' });
    service.clock.moveTo('2026-06-10T18:00:00Z');
    await change(id, { status: 'in-use', effectiveOn: '2026-06-01' });
    // 1,000 km are left at 100 km a day, from 1 June on.
    expect(await lineOf(id)).toMatchObject({ dueOn: '2026-06-11', trigger: 'distance' });
  });

  describe('with the season', () => {
    it('is due 14 days before it, and again before the next once that is done', async () => {
      const id = await vehicle({
        intervalPlanId: await plan({ action: 'test', everyMonths: 24, beforeSeason: true }),
        inServiceOn: '2025-07-20',
        inUseMonths: [11, 12, 1, 2, 3],
      });
      expect(await lineOf(id)).toMatchObject({ dueOn: '2025-10-18', lateOn: '2025-11-01', state: 'late' });
      await fleet.mechanic.post('/v1/job-reports', {
        vehicleId: id,
        performedAt: '2026-03-20T18:00:00Z',
        lines: [{ component: 'coolant', action: 'test' }],
      });
      expect(await lineOf(id)).toMatchObject({ dueOn: '2026-10-18', dueAt: { date: '2026-10-18' } });
      await change(id, { inUseMonths: [4, 5, 6] });
      expect(await lineOf(id)).toMatchObject({ dueOn: '2027-03-18' });
      await change(id, { inUseMonths: null });
      expect(await lineOf(id)).toMatchObject({ dueOn: '2028-03-20' });
    });

    it('is marked so in the plan, whose other limits may then be missing', async () => {
      const planId = await plan({ action: 'test', beforeSeason: true });
      const { body } = await fleet.dashboard.get(`/v1/interval-plans/${planId}`);
      expect(body.intervals[0]).toMatchObject({ beforeSeason: true, everyMonths: null });
      expect(await linesOf(await vehicle({ intervalPlanId: planId, inServiceOn: '2025-07-20' }))).toEqual([]);
      const refused = await fleet.manager.post('/v1/interval-plans', {
        name: 'Nothing',
        intervals: [{ component: 'coolant', action: 'test' }],
      });
      expect([refused.status, refused.body.errors[0].detail]).toEqual([
        422,
        expect.stringContaining('beforeSeason'),
      ]);
    });

    it('gets a new daily distance when its months in use change', async () => {
      const id = await vehicle({ inServiceOn: '2025-10-01', inServiceOdometer: km(0) });
      // 40 km a day up to the end of October, none in winter, 40 again in March; read each week up
      // to 31 March.
      const readings = Array.from({ length: 26 }, (_, week) => {
        const on = Date.parse('2026-03-31T18:00:00Z') - week * 7 * DAY;
        const inUse = (from: string, to: string) =>
          Math.max(0, (Math.min(on, Date.parse(to)) - Date.parse(from)) / DAY);
        const days =
          inUse('2025-10-01T18:00:00Z', '2025-10-31T18:00:00Z') +
          inUse('2026-02-28T18:00:00Z', '2026-03-31T18:00:00Z');
        return { vehicleId: id, readAt: new Date(on).toISOString(), odometer: km(40 * days) };
      });
      await fleet.mechanic.post('/v1/usage-readings', { readings });
      const rate = async () =>
        (await fleet.dashboard.get(`/v1/vehicles/${id}/usage`)).body.dailyDistance.value as number;
      expect(await rate()).toBeLessThan(38);
      await change(id, { inUseMonths: [3, 4, 5, 6, 7, 8, 9, 10] });
      expect(await rate()).toBeCloseTo(40, 6);
    });
  });

  describe('with an engine mounted on it', () => {
    const depot = async (name: string): Promise<string> =>
      (await fleet.manager.post('/v1/depots', { name })).body.id;

    it('takes the engine along, which has its own hours and lines', async () => {
      const [north, south] = [await depot('North'), await depot('South')];
      const carrier = await vehicle({ depotId: north, inServiceOn: '2025-01-01' });
      const cooler = await vehicle({
        mountedOn: carrier,
        intervalPlanId: await plan({ everyEngineHours: { value: 500, unit: 'h' } }),
        inServiceOn: '2026-01-01',
        inServiceEngineHours: { value: 0, unit: 'h' },
      });
      const own = async () => (await fleet.dashboard.get(`/v1/vehicles/${cooler}`)).body;
      expect(await own()).toMatchObject({ depotId: north, mountedOn: carrier, version: 1 });
      const readings = [0, 30, 60, 90].map((day) => ({
        vehicleId: cooler,
        readAt: new Date(Date.parse('2026-01-01T18:00:00Z') + day * DAY).toISOString(),
        engineHours: { value: day * 5, unit: 'h' },
      }));
      await fleet.mechanic.post('/v1/usage-readings', { readings });
      // 50 h are left at 5 a day after 1 April.
      expect(await lineOf(cooler)).toMatchObject({ dueOn: '2026-04-11', trigger: 'engine-hours' });
      expect(await linesOf(carrier)).toEqual([]);

      await change(carrier, { depotId: south, effectiveOn: '2026-03-01' });
      expect(await own()).toMatchObject({ depotId: south, version: 2 });
      expect((await lineOf(cooler)).vehicle.depotId).toBe(south);
      const { body } = await fleet.dashboard.get(`/v1/vehicles/${cooler}/history`);
      expect(body.items.find(({ what }: any) => what === 'assignment')).toMatchObject({
        effectiveOn: '2026-03-01',
        depotId: south,
      });
    });

    it('cannot be disposed of while it carries one', async () => {
      const carrier = await vehicle({});
      const cooler = await vehicle({ mountedOn: carrier });
      const { unitNumber } = (await fleet.dashboard.get(`/v1/vehicles/${cooler}`)).body;
      const refused = await fleet.manager.patch(`/v1/vehicles/${carrier}`, { status: 'disposed' });
      expect([refused.status, refused.body.type]).toEqual([409, '/problems/carries-units']);
      expect(refused.body.detail).toContain(unitNumber);
      await change(cooler, { status: 'disposed' });
      await change(carrier, { status: 'disposed' });
    });

    it('must not itself be mounted on another', async () => {
      const carrier = await vehicle({});
      const cooler = await vehicle({ mountedOn: carrier });
      const gone = await vehicle({ status: 'disposed' });
      const mount = async (id: string, mountedOn: string) => {
        const { status, body } = await fleet.manager.patch(`/v1/vehicles/${id}`, { mountedOn });
        return [status, body.errors?.[0]?.pointer];
      };
      const another = await vehicle({});
      for (const [id, on] of [
        [another, cooler],
        [carrier, another],
        [another, gone],
        [another, another],
        [another, '00000000-0000-4000-8000-000000000000'],
      ] as const)
        expect(await mount(id, on)).toEqual([422, '/mountedOn']);
      expect(await mount(another, carrier)).toEqual([200, undefined]);
    });
  });

  it('is the same in a rebuild from history', async () => {
    service.clock.moveTo('2026-06-11T18:00:00Z');
    const result = await rebuildAll({ databaseUrl: service.database.url, schema, clock: service.clock });
    expect(result.vehicles).toBeGreaterThan(20);
    expect(result.differences).toEqual([]);
  });
});
