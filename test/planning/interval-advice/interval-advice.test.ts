import { statementListeners } from '../../../src/platform/database/scoped-pool.js';
import { shockAbsorbers } from '../../domain/reliability/shock-absorbers.js';
import { textsIn } from '../../support/english.js';
import { INTERVAL_PLAN, SPEC_SHEET } from '../../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';
import { inText } from '../../support/told.js';

const told = (text: RegExp) => expect.objectContaining({ text: expect.stringMatching(text) });

const NOW = '2026-04-02T15:00:00Z';
const COMPONENT = 'tensioner';
const COSTS = 'plannedCost=1&failureCost=5';

interface Sheet {
  specSheetId: string;
  intervalPlanId: string;
}

describe('the interval advice', () => {
  let service: Service;

  beforeAll(async () => {
    service = await startService({ at: NOW });
  });
  afterAll(() => service.stop());

  const posted = async (promise: Promise<{ status: number; body: any }>): Promise<any> => {
    const { status, body } = await promise;
    if (status >= 300) throw new Error(`${status} ${JSON.stringify(body)}`);
    return body;
  };

  async function postSheet({ manager }: FleetHandle, everyKm = 60_000): Promise<Sheet> {
    const { id: specSheetId } = await posted(manager.post('/v1/spec-sheets', SPEC_SHEET));
    const intervals = [
      ...INTERVAL_PLAN.intervals,
      { component: COMPONENT, action: 'replace', everyDistance: { value: everyKm, unit: 'km' } },
    ];
    const plan = manager.post('/v1/interval-plans', { name: 'Light trucks', intervals });
    return { specSheetId, intervalPlanId: (await posted(plan)).id };
  }

  async function postVehicle(
    { manager }: FleetHandle,
    sheet: Sheet,
    unitNumber: string,
    more: Record<string, unknown> = {},
  ): Promise<string> {
    const vehicle = {
      ...sheet,
      ...{
        unitNumber,
        duty: 'normal',
        inServiceOn: '2021-03-15',
        inServiceOdometer: { value: 0, unit: 'km' },
      },
      ...more,
    };
    return (await posted(manager.post('/v1/vehicles', vehicle))).id;
  }

  const replacement = (vehicleId: string, km: number, failed: boolean, more: object = {}) => ({
    vehicleId,
    performedAt: '2025-06-01T15:00:00Z',
    odometer: { value: km, unit: 'km' },
    lines: [{ component: COMPONENT, action: 'replace', failed }],
    ...more,
  });

  const reading = (vehicleId: string, km: number, readAt = '2025-06-01T15:00:00Z') => ({
    ...{ vehicleId, readAt, odometer: { value: km, unit: 'km' } },
  });

  /**
   * The shock absorbers as a fleet would have met them: failed at a job, taken out while still
   * good, or still running.
   */
  async function postShockAbsorbers(fleet: FleetHandle): Promise<Sheet> {
    const sheet = await postSheet(fleet);
    const readings: object[] = [];
    for (const [index, { age, failed }] of shockAbsorbers().entries()) {
      const vehicleId = await postVehicle(fleet, sheet, `S-${index}`);
      if (failed || index % 2 === 0)
        await posted(fleet.mechanic.post('/v1/job-reports', replacement(vehicleId, age, failed)));
      else readings.push(reading(vehicleId, age));
    }
    const batch = await posted(fleet.mechanic.post('/v1/usage-readings', { readings }));
    expect(batch.accepted).toBe(readings.length);
    return sheet;
  }

  describe('on the published shock absorbers, posted as vehicles, jobs and readings', () => {
    let fleet: FleetHandle;
    let sheet: Sheet;
    const ask = (query: string) => fleet.dashboard.get(`/v1/interval-advice?component=${COMPONENT}&${query}`);

    beforeAll(async () => {
      fleet = await service.newFleet({ units: 'si' });
      sheet = await postShockAbsorbers(fleet);
    });

    it('gives the published estimates, the optimum and the band', async () => {
      const { status, body } = await ask(`specSheetId=${sheet.specSheetId}&${COSTS}&by=distance`);
      expect(status).toBe(200);
      // Meeker & Escobar (1998), table C.2; digits by R survival 3.5-3 and SciPy 1.17.1.
      expect(body.weibull).toEqual({
        shape: {
          value: expect.closeTo(3.16047031, 6),
          low: expect.closeTo(2.00873, 4),
          high: expect.closeTo(4.97257, 4),
          standardError: expect.closeTo(0.730818, 5),
        },
        scale: {
          unit: 'km',
          value: expect.closeTo(27718.7181, 3),
          low: expect.closeTo(22347.77, 1),
          high: expect.closeTo(34380.49, 1),
          standardError: expect.closeTo(3046.023, 2),
        },
        b10: expect.objectContaining({ value: expect.closeTo(13600.03, 1), unit: 'km' }),
        logLikelihood: expect.closeTo(-123.995361, 5),
      });
      const survival = new Map(body.survival.steps.map((step: any) => [step.at, step.survival]));
      expect(survival.size).toBe(11);
      for (const [at, share] of [
        [6700, 0.97368421],
        [9120, 0.94504644],
        [12200, 0.9086985],
        [27490, 0.2873759],
      ] as const)
        expect(survival.get(at)).toBeCloseTo(share, 7);
      // SciPy 1.17.1: profile likelihood of the optimum by brentq; costs 1 and 5.
      expect(body.status).toBe('advised');
      expect(body.optimum.interval).toEqual({
        unit: 'km',
        value: expect.closeTo(14071.19, 1),
        low: expect.closeTo(11798.75, 1),
        high: expect.closeTo(19021.45, 1),
      });
      expect(Math.min(...body.costCurve.points.map((point: any) => point.cost))).toBeCloseTo(
        body.optimum.cost,
        3,
      );
      expect(body.costCurve).toMatchObject({ unit: 'km', per: '1000 km' });
      expect(body.goodnessOfFit.p).toBeGreaterThan(0.05);
    });

    it('counts the lives, and those left out', async () => {
      const { body } = await ask(COSTS);
      const replaced = shockAbsorbers().filter(({ failed }, index) => !failed && index % 2 === 0).length;
      expect(body.lives).toMatchObject({
        ...{ vehicles: 38, total: 38, failed: 11, replaced, running: 27 - replaced, delayed: 0 },
        duties: { normal: 38, severe: 0, mixed: 0 },
        longest: { value: 28_100, unit: 'km' },
        // The parts that were fitted last: nothing has been read since.
        leftOut: [
          {
            reason: 'no-use',
            count: 11 + replaced,
            detail: expect.objectContaining({ code: 'lives-no-use', text: expect.any(String) }),
          },
        ],
      });
    });

    it('says in plain words what to do with the plan, and what to watch out for', async () => {
      const { body } = await ask(`specSheetId=${sheet.specSheetId}&${COSTS}`);
      expect(textsIn(body.advice)).toEqual([
        "Replacing the tensioner every 14,100 km costs least by the fleet's own failures. Anything from 11,800 km to 19,000 km agrees with them.",
        expect.stringMatching(/^It costs \d+ % less than replacing failed parts only\.$/),
        'The plan "Light trucks", under normal duty, says 60,000 km. That is too late: shorten it to 14,100 km.',
      ]);
      expect(body.currentIntervals).toEqual([
        {
          ...{ intervalPlanId: sheet.intervalPlanId, name: 'Light trucks', duty: 'normal', item: null },
          ...{ vehicles: 38, every: { value: 60_000, unit: 'km' }, comparison: 'later' },
          ...{ pointer: '/intervals/4', basis: [] },
        },
      ]);
      expect(textsIn(body.basis).join(' ')).toMatch(
        /Fisher information.*Greenwood.*Hjort.*Barlow.*profile likelihood/,
      );
      expect(textsIn(body.cautions).join(' ')).toContain('recordsFrom=');
      expect(body.cautions.at(-1).text).toContain("the vehicle maker's service information");
    });

    it('answers in the reader’s units', async () => {
      const { body } = await ask(`${COSTS}&units=us`);
      // 1 mi = 1.609344 km (NIST SP 811).
      expect(body.weibull.scale).toMatchObject({
        unit: 'mi',
        value: expect.closeTo(27718.7181 / 1.609344, 2),
      });
      expect(body.weibull.shape.value).toBeCloseTo(3.16047031, 6);
      expect(body.survival.steps[0].at).toBeCloseTo(6700 / 1.609344, 5);
      expect(body.costCurve.per).toBe('1000 mi');
      expect(body.advice[0].text).toContain('every 8,740 mi');
      const si = (await ask(COSTS)).body;
      expect(body.optimum.cost / si.optimum.cost).toBeCloseTo(1.609344, 6);
    });

    it('refuses with the reason, and gives what it can', async () => {
      const noCosts = (await ask('')).body;
      expect(noCosts).toMatchObject({ status: 'refused', optimum: null, costCurve: null });
      expect(noCosts.refusals).toEqual([{ code: 'no-costs', detail: told(/plannedCost/) }]);
      expect(noCosts.weibull.shape.value).toBeCloseTo(3.16047031, 6);
      const cheap = (await ask('plannedCost=5&failureCost=5')).body;
      expect(cheap.refusals[0].code).toBe('failure-costs-no-more');
      expect(cheap.costCurve.points.length).toBeGreaterThan(10);
      const wide = (await ask('plannedCost=2&failureCost=3')).body;
      expect(wide.refusals[0]).toEqual({
        code: 'band-too-wide',
        detail: told(/from 21,700 km to 65,500 km/),
      });
      expect(textsIn(wide.advice).join(' ')).toMatch(/^No interval is advised\. The 95 % band/);
      // No pump failed.
      const pump = (await fleet.dashboard.get(`/v1/interval-advice?component=water-pump&${COSTS}`)).body;
      expect(pump.refusals[0]).toEqual({
        code: 'too-few-failures',
        detail: told(/^There are 0 failures on record\./),
      });
      expect(pump).toMatchObject({ weibull: null, goodnessOfFit: null, lives: { failed: 0, running: 38 } });
      const severe = (await ask(`${COSTS}&duty=severe`)).body;
      expect(severe).toMatchObject({ status: 'refused', lives: { total: 0, longest: null } });
      const hours = (await ask(`${COSTS}&by=engine-hours`)).body;
      expect(hours.lives).toMatchObject({ total: 0, leftOut: [{ reason: 'usage-unknown' }] });
    });

    it('is not available for a sheet of another fleet, and sees nothing of it', async () => {
      const other = await service.newFleet({ units: 'si' });
      const path = `/v1/interval-advice?component=${COMPONENT}&${COSTS}`;
      expect((await other.manager.get(`${path}&specSheetId=${sheet.specSheetId}`)).status).toBe(404);
      expect((await other.manager.get(path)).body.lives).toMatchObject({ vehicles: 0, total: 0 });
      expect((await service.client(null).get(path)).status).toBe(401);
    });

    it.each([
      ['', 'component', 'is required'],
      ['component=engine', 'component', 'one of coolant'],
      ['component=tensioner&by=months', 'by', 'one of distance'],
      ['component=tensioner&plannedCost=1', 'failureCost', 'plannedCost needs failureCost beside it'],
      ['component=tensioner&failureCost=1', 'plannedCost', 'failureCost needs plannedCost beside it'],
      ['component=tensioner&plannedCost=0&failureCost=5', 'plannedCost', 'must be from 0.01'],
      ['component=tensioner&plannedCost=1e3&failureCost=5', 'plannedCost', 'a number such as'],
      ['component=tensioner&plannedCost=-1&failureCost=5', 'plannedCost', 'a number such as'],
      ['component=tensioner&plannedCost=1&plannedCost=2&failureCost=5', 'plannedCost', 'a number such as'],
      ['component=tensioner&specSheetId=x', 'specSheetId', 'a UUID is needed'],
      ['component=tensioner&recordsFrom=2026-02-30', 'recordsFrom', 'no such day'],
      ['component=tensioner&duty=hard', 'duty', 'one of normal and severe'],
      ['component=tensioner&item=%20', 'item', 'is blank'],
      ['component=tensioner&depot=1', 'depot', 'is not a parameter'],
    ])('is not available for ?%s', async (query, parameter, because) => {
      const { status, body } = await fleet.dashboard.get(`/v1/interval-advice?${query}`);
      expect(status).toBe(400);
      expect(inText(body.errors)).toEqual([{ parameter, detail: expect.stringContaining(because) }]);
    });

    it('takes four statements, however many vehicles there are', async () => {
      const statements: string[] = [];
      const listen = (text: string) => void statements.push(text);
      statementListeners.add(listen);
      try {
        await ask(`specSheetId=${sheet.specSheetId}&${COSTS}`);
      } finally {
        statementListeners.delete(listen);
      }
      expect(statements.length).toBeGreaterThan(1);
      expect(statements.length).toBeLessThanOrEqual(4);
    });
  });

  describe('on the lives of a few vehicles', () => {
    let fleet: FleetHandle;
    let sheet: Sheet;
    beforeEach(async () => {
      fleet = await service.newFleet({ units: 'si' });
      sheet = await postSheet(fleet);
    });
    const lives = async (query = '', component = COMPONENT) =>
      (await fleet.dashboard.get(`/v1/interval-advice?component=${component}&${query}`)).body;

    it('leaves out a voided job: the part is still running', async () => {
      const vehicleId = await postVehicle(fleet, sheet, 'V-1');
      const job = await posted(fleet.mechanic.post('/v1/job-reports', replacement(vehicleId, 9000, true)));
      await posted(
        fleet.mechanic.post('/v1/usage-readings', {
          readings: [reading(vehicleId, 12_000, '2025-09-01T15:00:00Z')],
        }),
      );
      expect((await lives()).lives).toMatchObject({ total: 2, failed: 1, running: 1 });
      await posted(fleet.manager.post(`/v1/job-reports/${job.id}/void`, { reason: 'wrong vehicle' }));
      expect((await lives()).lives).toMatchObject({
        ...{ total: 1, failed: 0, running: 1, longest: { value: 12_000, unit: 'km' } },
      });
    });

    it('counts the usage of parts in disposed and laid-up vehicles, and warns of mixed duties', async () => {
      const readings: object[] = [];
      for (const [index, status] of ['in-use', 'laid-up', 'disposed'].entries()) {
        const vehicleId = await postVehicle(fleet, sheet, `V-${index}`, {
          duty: index === 1 ? 'severe' : 'normal',
        });
        readings.push(reading(vehicleId, 5000 + index));
        if (status !== 'in-use')
          await posted(
            fleet.manager.patch(`/v1/vehicles/${vehicleId}`, { status, effectiveOn: '2026-01-01' }),
          );
      }
      await posted(fleet.mechanic.post('/v1/usage-readings', { readings }));
      const all = await lives();
      expect(all.lives).toMatchObject({ total: 3, running: 3, duties: { normal: 2, severe: 1, mixed: 0 } });
      expect(textsIn(all.cautions).join(' ')).toContain('mix normal and severe duty');
      const severe = await lives('duty=severe');
      expect(severe.lives).toMatchObject({ total: 1, longest: { value: 5001, unit: 'km' } });
      expect(textsIn(severe.cautions).join(' ')).not.toContain('mix normal and severe duty');
    });

    it('marks the ready-made intervals that it compares with, until one is changed or all are confirmed', async () => {
      const { manager } = fleet;
      const { items } = await posted(manager.post('/v1/starter-sets', { sets: [{ set: 'bus' }] }));
      const { specSheet, intervalPlan } = items[0];
      const [specSheetId, intervalPlanId] = [specSheet.id, intervalPlan.id];
      await postVehicle(fleet, { specSheetId, intervalPlanId }, 'B-1');
      const told = async (component: string) => {
        const { body } = await fleet.dashboard.get(
          `/v1/interval-advice?component=${component}&specSheetId=${specSheetId}`,
        );
        return {
          basis: body.basis.map(({ code }: any) => code).includes('starter-interval'),
          plans: body.currentIntervals.map((plan: any) => plan.basis.map(({ code }: any) => code)),
          pointers: body.currentIntervals.map(({ pointer }: any) => pointer),
        };
      };
      const path = `/v1/interval-plans/${intervalPlanId}`;
      const { intervals } = (await manager.get(path)).body;
      const isOf = (wanted: string) => (one: any) => one.component === wanted && one.action === 'replace';
      const belt = intervals.findIndex(isOf('drive-belt'));
      const marked = { basis: true, plans: [['starter-interval']] };
      expect(await told('drive-belt')).toEqual({ ...marked, pointers: [`/intervals/${belt}`] });
      const changed = intervals.map((one: any, index: number) =>
        index === belt ? { ...one, everyDistance: { value: 170_000, unit: 'km' } } : one,
      );
      await posted(manager.patch(path, { intervals: changed }));
      expect(await told('drive-belt')).toMatchObject({ basis: false, plans: [[]] });
      expect(await told('coolant')).toMatchObject(marked);
      await posted(manager.post(`${path}/confirm`));
      expect(await told('coolant')).toMatchObject({ basis: false, plans: [[]] });
    });

    it('keeps belts apart by item, and gives lives in engine hours', async () => {
      const vehicleId = await postVehicle(fleet, sheet, 'V-1', {
        inServiceEngineHours: { value: 10, unit: 'h' },
      });
      await posted(
        fleet.mechanic.post(
          '/v1/job-reports',
          replacement(vehicleId, 9000, false, {
            engineHours: { value: 400, unit: 'h' },
            lines: [{ component: 'drive-belt', action: 'replace', item: 'accessory', failed: true }],
          }),
        ),
      );
      expect((await lives('item=accessory', 'drive-belt')).lives).toMatchObject({ total: 1, failed: 1 });
      expect((await lives('item=compressor', 'drive-belt')).lives).toMatchObject({ total: 0 });
      const hours = await lives('by=engine-hours', 'drive-belt');
      expect(hours.lives).toMatchObject({ failed: 1, longest: { value: 390, unit: 'h' } });
      expect(hours.survival.unit).toBe('h');
    });

    it('takes a job from before records began only as a start, and counts from the first reading after it', async () => {
      const vehicleId = await postVehicle(fleet, sheet, 'V-1', {
        inServiceOdometer: { value: 100, unit: 'km' },
      });
      const before = { performedAt: '2022-01-01T15:00:00Z' };
      const { id } = await posted(
        fleet.mechanic.post('/v1/job-reports', replacement(vehicleId, 20_000, true, before)),
      );
      // As an import would have written it.
      await service.database.admin.query('update job_reports set is_baseline = true where id = $1', [id]);
      await posted(
        fleet.mechanic.post('/v1/usage-readings', {
          readings: [reading(vehicleId, 25_000, '2024-01-01T15:00:00Z')],
        }),
      );
      await posted(fleet.mechanic.post('/v1/job-reports', replacement(vehicleId, 60_000, true)));
      expect((await lives()).lives).toMatchObject({
        ...{ total: 1, failed: 1, delayed: 1, longest: { value: 40_000, unit: 'km' } },
        leftOut: [
          { reason: 'no-use', count: 1 },
          { reason: 'before-records', count: 1 },
        ],
      });
    });

    it('counts from the day on which records are complete', async () => {
      const vehicleId = await postVehicle(fleet, sheet, 'V-1');
      const readings = [
        reading(vehicleId, 5000, '2022-01-01T15:00:00Z'),
        reading(vehicleId, 30_000, '2024-01-03T15:00:00Z'),
        reading(vehicleId, 50_000, '2026-01-01T15:00:00Z'),
      ];
      await posted(fleet.mechanic.post('/v1/usage-readings', { readings }));
      expect((await lives()).lives).toMatchObject({ running: 1, delayed: 0 });
      const since = await lives('recordsFrom=2024-01-01');
      expect(since.lives).toMatchObject({ running: 1, delayed: 1 });
      expect(textsIn(since.cautions).join(' ')).not.toContain('recordsFrom=');
      expect((await lives('recordsFrom=2026-02-01')).lives).toMatchObject({
        ...{ total: 0, leftOut: [{ reason: 'watched-only-at-its-end', count: 1 }] },
      });
    });
  });
});
