import { rebuildAll } from '../../../src/conclusions/pipeline/rebuild.js';
import { statementListeners } from '../../../src/platform/database/scoped-pool.js';
import { WorkQueue } from '../../../src/platform/queue/work-queue.js';
import { dailyPattern, secondsAfterHour } from '../../../src/telling/reminders/sweep/morning-spread.js';
import { FleetSchedule } from '../../../src/telling/reminders/sweep/fleet-schedule.js';
import { schema } from '../../../src/schema.js';
import { untilWorkerIsIdle } from '../../support/idle.js';
import { until } from '../../support/receiver.js';
import { SPEC_SHEET } from '../../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

const DAY = 86_400_000;
const START = Date.parse('2025-01-01T12:00:00Z');
const onDay = (day: number): string => new Date(START + day * DAY).toISOString();
const km = (value: number) => ({ value, unit: 'km' });
const litres = (value: number) => ({ value, unit: 'L' });

describe('conclusions from many vehicles of a fleet, at night', () => {
  let service: Service;
  let fleet: FleetHandle;
  let specSheetId: string;

  beforeAll(async () => {
    service = await startService({ withWorker: true, at: onDay(600) });
    // The tests say when the night is; the timer would make up for it in between.
    await service.app.get(FleetSchedule).beforeApplicationShutdown();
  });
  beforeEach(async () => {
    service.clock.moveTo(onDay(600));
    fleet = await service.newFleet({ timeZone: 'America/Denver', units: 'si' });
    specSheetId = await made('/v1/spec-sheets', SPEC_SHEET);
  });
  afterAll(() => service.stop());

  async function made(path: string, body: object): Promise<string> {
    const { status, body: answer } = await fleet.manager.post(path, body);
    expect([status, answer]).toEqual([path.endsWith('/batch') ? 200 : 201, expect.anything()]);
    return answer.id;
  }

  const newVehicle = (unitNumber: string, sheet: string | null = specSheetId): Promise<string> =>
    made('/v1/vehicles', { unitNumber, specSheetId: sheet, inServiceOn: '2024-01-01' });

  async function read(vehicleId: string, day: number, odometerKm: number, reading: object): Promise<void> {
    await made(`/v1/vehicles/${vehicleId}/readings`, {
      ...{ takenAt: onDay(day), odometer: km(odometerKm) },
      ...reading,
    });
  }

  async function night(): Promise<void> {
    const queue = service.app.get(WorkQueue);
    const { fleetId } = fleet;
    expect(await queue.add('work', [{ name: 'refresh-cohorts', data: { fleetId } }])).toBe(true);
    await until(
      async () => (await queue.queue('work').getJobCountByTypes('waiting', 'active', 'prioritized')) === 0,
    );
  }

  const look = async (query: string, ...values: unknown[]): Promise<any[]> =>
    (await service.database.admin.query(query, values)).rows;
  const cohorts = (): Promise<any[]> =>
    look('select mu0, sigma, vehicles, computed_at from loss_cohorts where fleet_id = $1', fleet.fleetId);
  const alerts = async (query = ''): Promise<any[]> =>
    (await fleet.dashboard.get(`/v1/loss-alerts?limit=200${query}`)).body.items;

  async function expectNothingToRebuild(): Promise<void> {
    const result = await rebuildAll({ databaseUrl: service.database.url, schema, clock: service.clock });
    expect(result.differences).toEqual([]);
  }

  describe('the usual loss of a sheet', () => {
    /**
     * Cold levels every 1,500 km and twenty days, over 15,000 km, topped up to the mark as planned
     * work at each.
     */
    async function losing(unitNumber: string, litresPer1000Km: number): Promise<string> {
      const vehicleId = await newVehicle(unitNumber);
      const reports = Array.from({ length: 11 }, (_, check) => ({
        vehicleId,
        performedAt: onDay(100 + 20 * check),
        odometer: km(20_000 + 1500 * check),
        lines: [{ component: 'coolant', action: 'inspect' }],
        readings: [
          ...(check === 0
            ? [{ kind: 'level-check', belowMark: litres(0), engineCold: true }]
            : [
                {
                  ...{ kind: 'top-up', added: litres(1.5 * litresPer1000Km), toMark: true },
                  ...{ strengthPercent: 50, planned: true },
                },
              ]),
        ],
      }));
      const { status, body } = await fleet.mechanic.post('/v1/job-reports/batch', { reports });
      expect([status, body.results.map((result: any) => result.status)]).toEqual([200, Array(11).fill(201)]);
      return vehicleId;
    }

    it('needs five vehicles, and then usual losses raise no alert any more', async () => {
      const usual = [0.1, 0.11, 0.12, 0.13];
      for (const [index, rate] of usual.entries()) await losing(`U-${index}`, rate);
      await night();
      expect(await cohorts()).toEqual([]);
      const worst = await losing('U-leaks', 0.5);
      // By the assumed 0.01 ± 0.02 L per 1,000 km, most of them lose too much.
      const before = await alerts();
      expect(before.map((alert) => alert.kind)).toEqual(before.map(() => 'rising-loss'));
      expect(before.length).toBeGreaterThanOrEqual(3);

      await night();
      const [cohort, ...others] = await cohorts();
      expect(others).toEqual([]);
      // By hand: median of 0.1, 0.11, 0.12, 0.13 and 0.5; deviations 0.02, 0.01, 0, 0.01 and 0.38,
      // so 1.4826·0.01, below the floor of 0.02.
      expect(cohort.mu0).toBeCloseTo(0.12, 9);
      expect(cohort).toMatchObject({ sigma: 0.02, vehicles: 5, computed_at: new Date(onDay(600)) });
      const after = await alerts();
      expect(after.map((alert) => [alert.kind, alert.vehicle.id])).toEqual([['rising-loss', worst]]);
      const { body } = await fleet.dashboard.get(`/v1/vehicles/${worst}/loss-trend`);
      expect(body.series.find((series: any) => series.name === 'loss-rate').limit).toBeCloseTo(0.12, 9);
      await expectNothingToRebuild();

      // A job that is posted afterwards is concluded by the cohort in its own transaction.
      const another = await losing('U-4', 0.12);
      expect(await alerts(`&vehicleId=${another}`)).toEqual([]);

      service.clock.moveTo(onDay(601));
      const statements: string[] = [];
      const listen = (text: string) => statements.push(text);
      statementListeners.add(listen);
      await night();
      statementListeners.delete(listen);
      expect(await cohorts()).toEqual([cohort]);
      // Nothing moved noticeably: nothing was written but that it was looked at. The worker's own
      // sign of life may fall between.
      const written = statements.filter((text) => /^\s*(insert|update|delete|with)/.test(text));
      expect(written.filter((text) => !text.includes('insert into workers'))).toEqual([
        expect.stringContaining('insert into fleet_sweeps'),
      ]);
      expect(
        await look('select cohorts_on::text from fleet_sweeps where fleet_id = $1', fleet.fleetId),
      ).toEqual([{ cohorts_on: '2026-08-25' }]);

      // Three vehicles that lose twice as much move the median to 0.13, by half of 0.02.
      for (const [index, rate] of [0.24, 0.25, 0.26].entries()) await losing(`V-${index}`, rate);
      await night();
      const [moved] = await cohorts();
      expect(moved).toMatchObject({ vehicles: 9, computed_at: new Date(onDay(601)) });
      expect(moved.mu0).toBeCloseTo(0.13, 9);
      await expectNothingToRebuild();
    });

    it('is dropped when fewer than five vehicles of its sheet are left', async () => {
      const ids: string[] = [];
      for (let n = 0; n < 5; n++) ids.push(await losing(`W-${n}`, 0.12));
      await night();
      expect(await cohorts()).toHaveLength(1);
      const sheetOfOwn = await made('/v1/spec-sheets', { ...SPEC_SHEET, name: 'Lowland 2.0 diesel' });
      const patched = await fleet.manager.patch(`/v1/vehicles/${ids[0]}`, { specSheetId: sheetOfOwn });
      expect(patched.status).toBe(200);
      await night();
      expect(await cohorts()).toEqual([]);
      await expectNothingToRebuild();
    });

    it('uses only the levels of the last two years', async () => {
      for (let n = 0; n < 5; n++) await losing(`X-${n}`, 0.12);
      service.clock.moveTo(onDay(100 + 200 + 731));
      await night();
      expect(await cohorts()).toEqual([]);
    });
  });

  describe('a part lot', () => {
    const pump = (vehicleId: string, day: number, odometerKm: number, lot: string) => ({
      ...{ vehicleId, performedAt: onDay(day), odometer: km(odometerKm) },
      lines: [{ component: 'water-pump', action: 'replace', partNumber: 'WP-20', lot }],
    });

    /**
     * Twelve vehicles on record since day 0, running 100 km a day, with a pump of another lot
     * since day 100; those of the lot L-9 had it since day 400 and lose coolant 20 days later.
     */
    async function fleetWithLot(struck: number): Promise<{ ids: string[]; jobs: string[] }> {
      const ids: string[] = [];
      for (let n = 0; n < 12; n++) ids.push(await newVehicle(`P-${n}`));
      const usage = ids.flatMap((vehicleId) =>
        [0, 100, 200, 300, 400, 500].map((day) => ({
          ...{ vehicleId, readAt: onDay(day), odometer: km(10_000 + 100 * day) },
        })),
      );
      expect((await fleet.mechanic.post('/v1/usage-readings', { readings: usage })).body.accepted).toBe(72);
      for (const id of ids)
        await read(id, 0, 10_000, { kind: 'level-check', belowMark: litres(0), engineCold: true });
      const bad = ids.slice(0, struck);
      const reports = [
        ...ids.map((id) => pump(id, 100, 20_000, 'L-1')),
        ...bad.map((id) => pump(id, 400, 50_000, 'L-9')),
      ];
      const { body } = await fleet.mechanic.post('/v1/job-reports/batch', { reports });
      expect(body.results.map((result: any) => result.status)).toEqual(reports.map(() => 201));
      for (const id of bad) {
        for (const [day, added] of [
          [408, 0.4],
          [420, 0.5],
        ] as const)
          await read(id, day, 10_000 + 100 * day, {
            ...{ kind: 'top-up', added: litres(added), toMark: true, strengthPercent: 50, planned: false },
          });
      }
      const jobs = body.results.slice(12).map((result: any) => result.report.id);
      return { ids: bad, jobs };
    }

    const lots = async (query = ''): Promise<any[]> => alerts(`&kind=part-cohort${query}`);

    it('that fails more than its share is found once, without a single vehicle named', async () => {
      const { ids } = await fleetWithLot(3);
      await night();
      const [alert, ...others] = await lots();
      expect(others).toEqual([]);
      expect(alert).toMatchObject({
        ...{ kind: 'part-cohort', status: 'raised', vehicle: null, returned: false, standing: true },
        ...{ members: [...ids].sort(), raisedAt: onDay(420) },
      });
      // By hand, on day 420: L-9 ran 3·20·100 km = 6,000 km of 12·420·100 = 504,000 km; P(3 of 3) =
      // (6/504)³ = 1.687e-6, allowed 0.01·3/(3·4)/2 = 0.00125.
      expect(alert.computed).toMatchObject({ alerts: 3, alertsOfAllLots: 3, lotsTested: 2, pLimit: 0.00125 });
      expect(alert.computed.distance.value).toBeCloseTo(6000, 6);
      expect(alert.computed.distanceOfAllLots.value).toBeCloseTo(504_000, 6);
      expect(alert.computed.p).toBeCloseTo((6 / 504) ** 3, 12);
      expect(alert.evidence).toHaveLength(3);
      expect(alert.checkNext.length).toBeGreaterThan(0);
      await night();
      expect(
        await look(`select id from loss_alerts where fleet_id = $1 and kind = 'part-cohort'`, fleet.fleetId),
      ).toEqual([{ id: alert.id }]);
      await expectNothingToRebuild();
    });

    it('is not accused because of two vehicles', async () => {
      await fleetWithLot(2);
      await night();
      expect(await lots()).toEqual([]);
    });

    it('keeps people’s decisions through the nights, and only a manager clears it', async () => {
      const { ids } = await fleetWithLot(3);
      await night();
      const [{ id }] = await lots();
      const act = (what: string, body: object, by = fleet.mechanic) =>
        by.post(`/v1/loss-alerts/${id}/${what}`, body);
      expect((await act('acknowledge', { note: 'supplier asked' })).status).toBe(200);
      service.clock.moveTo(onDay(601));
      await night();
      expect(await lots()).toMatchObject([{ id, status: 'acknowledged' }]);
      for (const vehicleId of ids)
        await read(vehicleId, 430, 53_000, {
          ...{ kind: 'hold-test', method: 'pressure', start: { value: 16, unit: 'psi' } },
          ...{ end: { value: 16, unit: 'psi' }, minutes: 5, engineCold: true },
        });
      await act('shelve', { until: onDay(610) });
      await night();
      expect(await lots()).toMatchObject([{ id, status: 'shelved', shelvedUntil: onDay(610) }]);
      service.clock.moveTo(onDay(611));
      await night();
      expect(await lots()).toMatchObject([{ id, status: 'raised' }]);
      expect((await act('clear', { note: 'lot returned' })).status).toBe(403);
      expect((await act('clear', { note: 'lot returned' }, fleet.manager)).status).toBe(200);
      await night();
      expect(await lots()).toEqual([]);
      expect(await lots('&status=cleared')).toMatchObject([
        { id, clearedBy: 'manager', clearedAt: onDay(611) },
      ]);
    });

    it('is dropped when the job that fitted it is voided', async () => {
      const { jobs } = await fleetWithLot(3);
      await night();
      const [{ id }] = await lots();
      const { status } = await fleet.manager.post(`/v1/job-reports/${jobs[0]}/void`, {
        reason: 'another lot',
      });
      expect(status).toBe(200);
      await night();
      expect(await lots()).toEqual([]);
      expect((await fleet.dashboard.get(`/v1/loss-alerts/${id}`)).body.standing).toBe(false);
    });
  });

  it('is checked at its hour in the queue’s schedule, and made up for if that was missed', async () => {
    const schedule = service.app.get(FleetSchedule);
    const queue = service.app.get(WorkQueue).queue('work');
    await schedule.scheduleMornings();
    const nights = (await queue.getJobSchedulers(0, -1)).filter(
      ({ key }) => key === `night_${fleet.fleetId}`,
    );
    expect(nights).toMatchObject([
      { pattern: dailyPattern(fleet.fleetId, 4), tz: 'America/Denver', name: 'refresh-cohorts' },
    ]);
    const lookedAtOn = async () =>
      (await look('select cohorts_on::text as on from fleet_sweeps where fleet_id = $1', fleet.fleetId))[0]
        ?.on ?? null;
    // Denver keeps summer time: four o'clock is 10:00 UTC.
    const moment = Date.parse('2026-07-01T10:00:00Z') + 1000 * secondsAfterHour(fleet.fleetId);
    service.clock.moveTo(new Date(moment - 1000));
    await schedule.takeUpLostWork();
    await untilWorkerIsIdle(service);
    expect(await lookedAtOn()).toBeNull();
    // The queue's own schedule has a minute to do it.
    service.clock.moveTo(new Date(moment + 60_000));
    await schedule.takeUpLostWork();
    await until(async () => (await lookedAtOn()) === '2026-07-01');
  });
});
