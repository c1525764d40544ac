import { Webhook } from 'standardwebhooks';
import { rebuildAll } from '../../src/conclusions/pipeline/rebuild.js';
import { schema } from '../../src/schema.js';
import { statementListeners } from '../../src/platform/database/scoped-pool.js';
import { WorkQueue } from '../../src/platform/queue/work-queue.js';
import { untilWorkerIsIdle } from '../support/idle.js';
import { type Receiver, startReceiver, until } from '../support/receiver.js';
import { goodJob, postScenario, type Scenario } from '../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../support/service.js';
import { inText } from '../support/told.js';

const DAY = 86_400_000;

/** A due line without its identity. */
const dates = ({ component, action, state, dueOn, windowOpensOn, lateOn, lastDone }: any) => ({
  component,
  action,
  state,
  dueOn,
  windowOpensOn,
  lateOn,
  lastDone,
});

describe('the main job, over real HTTP', () => {
  let service: Service;
  let fleet: FleetHandle;
  let scenario: Scenario;

  beforeAll(async () => {
    service = await startService({ withWorker: true, at: '2026-04-02T15:00:00Z' });
    fleet = await service.newFleet({ timeZone: 'America/Denver', units: 'us' });
    scenario = await postScenario(fleet);
  });
  afterAll(() => service.stop());

  async function linesOf(vehicleId: string): Promise<any[]> {
    const { status, body } = await fleet.dashboard.get(
      `/v1/due-list?vehicleId=${vehicleId}&state=late,due,window,not-due,no-baseline`,
    );
    expect(status).toBe(200);
    return body.items;
  }

  /** Creates a vehicle for one test, with weekly readings at 40 mi a day up to now. */
  async function newVehicle(unitNumber: string, extra: object = {}): Promise<string> {
    const { status, body } = await fleet.manager.post('/v1/vehicles', {
      unitNumber,
      depotId: scenario.depotId,
      specSheetId: scenario.specSheetId,
      intervalPlanId: scenario.intervalPlanId,
      duty: 'severe',
      inServiceOn: '2024-04-01',
      inServiceOdometer: { value: 0, unit: 'mi' },
      ...extra,
    });
    expect([status, body]).toEqual([201, expect.objectContaining({ unitNumber })]);
    await postWeeks(body.id, 20_000, 52);
    return body.id;
  }

  async function postWeeks(vehicleId: string, lastMi: number, weeks: number): Promise<any> {
    const now = service.clock.now().getTime();
    const readings = Array.from({ length: weeks + 1 }, (_, week) => ({
      vehicleId,
      readAt: new Date(now - 2 * 3_600_000 - (weeks - week) * 7 * DAY).toISOString(),
      odometer: { value: lastMi - (weeks - week) * 280, unit: 'mi' },
      source: 'dash',
    }));
    const { status, body } = await fleet.mechanic.post('/v1/usage-readings', { readings });
    expect(status).toBe(200);
    return body;
  }

  it('accepts a year of weekly readings in one batch, finds the rate, and shows the due list', async () => {
    // 53 readings at 280 mi a week: every pair of them has the slope 40 mi a day, and so has the
    // median (Theil and Sen).
    expect(await postWeeks(scenario.vehicleId, 58_600, 52)).toMatchObject({
      accepted: 53,
      duplicate: 0,
      held: 0,
      rejected: 0,
    });
    const usage = await fleet.dashboard.get(`/v1/vehicles/${scenario.vehicleId}/usage`);
    expect(usage.body.dailyDistance).toMatchObject({ unit: 'mi' });
    expect(usage.body.dailyDistance.value).toBeCloseTo(40, 6);
    expect(usage.body.method).toBe('theil-sen-90-days');
    expect(usage.body.lastReading.odometer).toEqual({ value: 58_600, unit: 'mi' });

    const belt = (await linesOf(scenario.vehicleId)).find(
      (line) => line.component === 'drive-belt' && line.action === 'replace',
    );
    // 60,000 mi counted from 12 mi; (60,012 - 58,600) / 40 = 35.3 days after the reading of 2
    // April.
    expect(belt).toMatchObject({
      trigger: 'distance',
      dueOn: '2026-05-07',
      state: 'not-due',
      dueAt: { odometer: { value: 60_012, unit: 'mi' } },
    });
    expect(belt.earliestOn <= belt.dueOn && belt.dueOn <= belt.latestOn).toBe(true);
    const pump = (await linesOf(scenario.vehicleId)).find((line) => line.component === 'water-pump');
    // Severe duty: 60 months from 15 March 2021 end before 60,000 mi are reached; 14 days of grace.
    expect(pump).toMatchObject({ trigger: 'time', dueOn: '2026-03-15', lateOn: '2026-03-29', state: 'late' });
  });

  it('accepts the same batch again without counting anything twice', async () => {
    expect(await postWeeks(scenario.vehicleId, 58_600, 52)).toMatchObject({ accepted: 0, duplicate: 53 });
  });

  it('holds a reading that goes back 5,000 miles, until someone decides on it', async () => {
    const before = await linesOf(scenario.vehicleId);
    const reading = {
      vehicleId: scenario.vehicleId,
      readAt: '2026-04-02T14:30:00Z',
      odometer: { value: 53_600, unit: 'mi' },
    };
    const { body } = await fleet.mechanic.post('/v1/usage-readings', { readings: [reading] });
    expect(body).toMatchObject({ held: 1, results: [{ index: 0, status: 'held', reason: 'went-back' }] });
    expect(body.results[0].detail.text).toContain('53,600 mi');
    expect(await linesOf(scenario.vehicleId)).toEqual(before);
    const held = await fleet.dashboard.get('/v1/usage-readings?status=held');
    expect(held.body.items).toMatchObject([{ id: body.results[0].id, reason: 'went-back' }]);

    const { id } = body.results[0];
    expect((await fleet.mechanic.post(`/v1/usage-readings/${id}/discard`)).status).toBe(403);
    expect((await fleet.manager.post(`/v1/usage-readings/${id}/discard`)).body.status).toBe('discarded');
    expect((await fleet.dashboard.get('/v1/usage-readings?status=held')).body.items).toEqual([]);
    expect((await fleet.manager.post(`/v1/usage-readings/${id}/accept`)).status).toBe(409);
  });

  it('believes a held reading when a manager accepts it, and no longer when it is voided', async () => {
    const vehicleId = await newVehicle('R-115');
    const { body } = await fleet.mechanic.post('/v1/usage-readings', {
      readings: [
        { unitNumber: 'R-115', readAt: '2026-04-02T14:30:00Z', odometer: { value: 15_000, unit: 'mi' } },
      ],
    });
    const { id } = body.results[0];
    expect((await fleet.manager.post(`/v1/usage-readings/${id}/accept`)).body.status).toBe('accepted');
    expect(
      (await fleet.dashboard.get(`/v1/vehicles/${vehicleId}/usage`)).body.lastReading.odometer.value,
    ).toBe(15_000);
    expect((await fleet.manager.post(`/v1/usage-readings/${id}/void`)).body.status).toBe('voided');
    expect(
      (await fleet.dashboard.get(`/v1/vehicles/${vehicleId}/usage`)).body.lastReading.odometer.value,
    ).toBe(20_000);
  });

  it('records a completed job with all eight kinds of reading, resets its lines and opens a recheck', async () => {
    // The worker runs in the same process, and its statements are heard as well.
    await untilWorkerIsIdle(service);
    const statements: string[] = [];
    const count = (text: string) => statements.push(text);
    statementListeners.add(count);
    const { status, body } = await fleet.mechanic.post(
      '/v1/job-reports',
      goodJob(scenario.vehicleId, '2026-04-02T08:20:00-06:00', 58_602),
    );
    statementListeners.delete(count);
    expect([status, inText(body.errors)]).toEqual([201, undefined]);
    // The sweep that the report asks for begins after this transaction's end.
    const own = statements.slice(0, statements.findIndex((text) => text === 'COMMIT') + 1);
    expect(own.length).toBeGreaterThan(5);
    expect(own.length).toBeLessThanOrEqual(15);

    expect(body.readings).toHaveLength(8);
    for (const reading of body.readings) {
      expect(reading.evaluation).toEqual({
        verdict: reading.kind === 'top-up' ? null : 'pass',
        reasons: expect.any(Array),
        computed: expect.any(Object),
        cautions: expect.any(Array),
        basis: expect.any(Array),
      });
      expect(reading.evaluation.reasons.length).toBeGreaterThan(0);
      expect(reading.evaluation.cautions.length).toBeGreaterThan(0);
    }
    expect(body.outcome).toMatchObject({ verdict: 'pass', alerts: [], held: [] });
    expect(body.outcome.resets).toHaveLength(4);

    const lines = await linesOf(scenario.vehicleId);
    const pump = lines.find((line) => line.component === 'water-pump');
    expect(pump.lastDone).toEqual({
      on: '2026-04-02',
      odometer: { value: 58_602, unit: 'mi' },
      engineHours: null,
      jobReportId: body.id,
    });
    expect(pump.dueAt).toMatchObject({ odometer: { value: 118_602, unit: 'mi' }, date: '2031-04-02' });
    const recheck = lines.find((line) => line.origin === 'follow-up');
    // Three days by the calendar; 160 km at 40 mi a day is two and a half, so the distance comes
    // first (common practice, no source).
    expect(recheck).toMatchObject({
      component: 'coolant',
      action: 'recheck',
      state: 'window',
      trigger: 'distance',
      dueOn: '2026-04-04',
      dueAt: { date: '2026-04-05' },
    });
    expect(body.outcome.followUps).toEqual([
      {
        ...{ id: recheck.id, component: 'coolant', action: 'recheck', item: null, atOnce: false },
        dueOn: '2026-04-04',
        causes: [{ code: 'follow-up-circuit-opened', values: {}, text: 'The coolant circuit was opened.' }],
      },
    ]);
  });

  it('gives the first answer when the same report is posted again, without a second job', async () => {
    const vehicleId = await newVehicle('R-116');
    const report = {
      ...goodJob(vehicleId, '2026-04-02T08:20:00-06:00', 20_001),
      id: '0b1f6a52-5a3e-4a0e-9f6b-0d8a9d1c2e3f',
    };
    const first = await fleet.mechanic.post('/v1/job-reports', {
      ...report,
      sentAt: '2026-04-02T08:30:00-06:00',
    });
    const second = await fleet.mechanic.post('/v1/job-reports', {
      ...report,
      sentAt: '2026-04-02T08:45:00-06:00',
    });
    expect([first.status, second.status]).toEqual([201, 200]);
    expect(second.body).toEqual(first.body);
    expect((await fleet.dashboard.get(`/v1/job-reports?vehicleId=${vehicleId}`)).body.items).toHaveLength(1);
    const other = await fleet.mechanic.post('/v1/job-reports', { ...report, notes: 'something else' });
    expect([other.status, other.body.type]).toEqual([409, '/problems/report-id-taken']);
  });

  it('creates one job when the same report is posted twice at the same time', async () => {
    const vehicleId = await newVehicle('R-121');
    const report = {
      ...goodJob(vehicleId, '2026-04-02T08:20:00-06:00', 20_001),
      id: '1c2f6a52-5a3e-4a0e-9f6b-0d8a9d1c2e3f',
    };
    const answers = await Promise.all(
      Array.from({ length: 4 }, () => fleet.mechanic.post('/v1/job-reports', report)),
    );
    expect(answers.map((answer) => answer.status).toSorted((a, b) => a - b)).toEqual([200, 200, 200, 201]);
    for (const answer of answers) expect(answer.body).toEqual(answers[0]?.body);
  });

  it('records a job whose hold test fails, resets what it did, and opens a retest', async () => {
    const vehicleId = await newVehicle('R-117');
    const { status, body } = await fleet.mechanic.post('/v1/job-reports', {
      vehicleId,
      performedAt: '2026-04-02T08:00:00-06:00',
      odometer: { value: 20_001, unit: 'mi' },
      lines: [{ component: 'water-pump', action: 'replace' }],
      readings: [
        {
          kind: 'hold-test',
          method: 'vacuum',
          start: { value: 22, unit: 'inHg' },
          end: { value: 17, unit: 'inHg' },
          minutes: 5,
        },
      ],
    });
    expect([status, body.outcome.verdict]).toEqual([201, 'fail']);
    const lines = await linesOf(vehicleId);
    expect(lines.find((line) => line.component === 'water-pump').lastDone.jobReportId).toBe(body.id);
    expect(
      lines
        .filter((line) => line.origin === 'follow-up')
        .map((line) => `${line.component}/${line.action}`)
        .sort(),
    ).toEqual(['coolant/recheck', 'coolant/test']);
    expect(body.outcome.followUps).toMatchObject([
      { component: 'coolant', action: 'test', atOnce: true, dueOn: '2026-04-02' },
      { component: 'coolant', action: 'recheck', atOnce: false },
    ]);
  });

  it('refuses a vacuum deeper than the atmosphere there, and says which unit was meant', async () => {
    const vehicleId = await newVehicle('R-118');
    const post = (start: object) =>
      fleet.mechanic.post('/v1/job-reports', {
        vehicleId,
        performedAt: '2026-04-02T08:00:00-06:00',
        lines: [{ component: 'coolant', action: 'test' }],
        readings: [{ kind: 'hold-test', method: 'vacuum', start, end: start, minutes: 5 }],
      });
    // 25 psi of vacuum cannot exist, so inHg must be meant (common practice, no source). The air
    // pressure at 1,500 m is 24.97 inHg (U.S. Standard Atmosphere 1976: 84,559.66 Pa).
    const psi = await post({ value: 25, unit: 'psi' });
    expect(psi.status).toBe(422);
    expect(inText(psi.body.errors)).toEqual([
      { pointer: '/readings/0/start', detail: expect.stringMatching(/inHg/) },
    ]);
    const deep = await post({ value: 28, unit: 'inHg' });
    expect(deep.status).toBe(422);
    expect(deep.body.errors[0].detail).toContain('24.97 inHg');
    expect(deep.body.errors[0].detail).toMatch(/elevation/);
    expect((await fleet.dashboard.get(`/v1/job-reports?vehicleId=${vehicleId}`)).body.items).toEqual([]);
  });

  it('sets an impossible reading of a batch aside, and counts the rest of the report', async () => {
    const vehicleId = await newVehicle('R-119');
    const report = {
      vehicleId,
      performedAt: '2026-04-02T08:00:00-06:00',
      odometer: { value: 20_001, unit: 'mi' },
      lines: [{ component: 'water-pump', action: 'replace' }],
      readings: [
        {
          kind: 'hold-test',
          method: 'vacuum',
          start: { value: 25, unit: 'psi' },
          end: { value: 25, unit: 'psi' },
          minutes: 5,
        },
        { kind: 'fill', added: { value: 9, unit: 'pints' } },
        { kind: 'level-check', belowMark: { value: 0, unit: 'L' }, engineCold: true },
      ],
    };
    const { status, body } = await fleet.mechanic.post('/v1/job-reports/batch', {
      reports: [report, { ...report, vehicleId: 'nonsense' }],
    });
    expect(status).toBe(200);
    expect(body.results.map((result: any) => result.status)).toEqual([201, 422]);
    expect(body.results[0].report.readings.map((reading: any) => reading.kind)).toEqual(['level-check']);
    expect(body.results[0].report.outcome.held.map((part: any) => part.pointer).sort()).toEqual([
      '/readings/0',
      '/readings/1',
    ]);
    expect(body.results[1].problem.errors[0].pointer).toBe('/reports/1/vehicleId');
  });

  it('delivers a window, a due and a late reminder of a line as the days go by, each once and signed', async () => {
    const receiver: Receiver = await startReceiver();
    const own = await service.newFleet({ timeZone: 'America/Denver', units: 'us' });
    const plan = await own.manager.post('/v1/interval-plans', {
      name: 'Monthly look',
      intervals: [
        { component: 'coolant', action: 'inspect', everyMonths: 1, window: { days: 3 }, grace: { days: 3 } },
      ],
    });
    // A month from 10 March: the window opens on 7 April, due on the 10th, late from the 13th.
    await own.manager.post('/v1/vehicles', {
      unitNumber: 'M-1',
      intervalPlanId: plan.body.id,
      inServiceOn: '2026-03-10',
    });
    const target = await own.manager.post('/v1/reminder-targets', { kind: 'webhook', address: receiver.url });
    expect(target.status).toBe(201);
    const webhook = new Webhook(target.body.secret);
    for (let day = 2; day <= 20; day++) {
      service.clock.moveTo(`2026-04-${String(day).padStart(2, '0')}T15:00:00Z`);
      await service.app.get(WorkQueue).add('work', [{ name: 'sweep-fleet', data: { fleetId: own.fleetId } }]);
      const queues = (['work', 'deliveries'] as const).map((name) => service.app.get(WorkQueue).queue(name));
      await until(async () =>
        (
          await Promise.all(
            queues.map((queue) => queue.getJobCountByTypes('waiting', 'active', 'prioritized')),
          )
        ).every((left) => left === 0),
      );
    }
    service.clock.moveTo('2026-04-02T15:00:00Z');
    await receiver.close();
    const messages = receiver.received.map(({ headers, text, body }) => {
      // The library's own verifier uses the real time, but the test's clock is in April.
      const at = new Date(Number(headers['webhook-timestamp']) * 1000);
      expect(headers['webhook-signature']).toBe(webhook.sign(String(headers['webhook-id']), at, text));
      return body;
    });
    expect(new Set(receiver.received.map(({ headers }) => headers['webhook-id'])).size).toBe(3);
    expect(messages.map((message) => [message.type, message.data.dueOn])).toEqual([
      ['due-line.window', '2026-04-10'],
      ['due-line.due', '2026-04-10'],
      ['due-line.late', '2026-04-10'],
    ]);
    const reminders = await own.dashboard.get('/v1/reminders');
    expect(reminders.body.items.map((reminder: any) => [reminder.stage, reminder.status])).toEqual([
      ['late', 'sent'],
      ['due', 'sent'],
      ['window', 'sent'],
    ]);
  });

  it('raises repeat-top-ups on two unplanned top-ups in the weeks after a job, with the evidence', async () => {
    const vehicleId = await newVehicle('R-122');
    await fleet.mechanic.post('/v1/job-reports', goodJob(vehicleId, '2026-04-02T08:20:00-06:00', 20_001));
    const topUp = (takenAt: string, odometerMi: number) =>
      fleet.mechanic.post(`/v1/vehicles/${vehicleId}/readings`, {
        kind: 'top-up',
        takenAt,
        odometer: { value: odometerMi, unit: 'mi' },
        added: { value: 0.5, unit: 'L' },
        toMark: true,
        strengthPercent: 50,
        planned: false,
      });
    service.clock.moveTo('2026-04-26T15:00:00Z');
    expect((await topUp('2026-04-14T15:00:00Z', 20_480)).status).toBe(201);
    const second = await topUp('2026-04-25T15:00:00Z', 20_920);
    expect(second.body.outcome.alerts).toHaveLength(1);
    const { body } = await fleet.dashboard.get(`/v1/loss-alerts?vehicleId=${vehicleId}`);
    service.clock.moveTo('2026-04-02T15:00:00Z');
    expect(body.items).toMatchObject([
      { kind: 'repeat-top-ups', status: 'raised', vehicle: { id: vehicleId, unitNumber: 'R-122' } },
    ]);
    expect(body.items[0].evidence.length).toBeGreaterThanOrEqual(2);
    expect(body.items[0].checkNext.length).toBeGreaterThan(0);
    expect(body.items[0].cautions.length).toBeGreaterThan(0);
  });

  it('raises unrecorded-water, with the litres, for a freeze point that rose without recorded water', async () => {
    const vehicleId = await newVehicle('R-123');
    await fleet.mechanic.post('/v1/job-reports', goodJob(vehicleId, '2026-04-02T08:20:00-06:00', 20_001));
    service.clock.moveTo('2026-06-10T15:00:00Z');
    const { status, body } = await fleet.mechanic.post(`/v1/vehicles/${vehicleId}/readings`, {
      kind: 'freeze-point',
      takenAt: '2026-06-10T14:00:00Z',
      odometer: { value: 22_700, unit: 'mi' },
      base: 'ethylene-glycol',
      scale: 'ethylene-glycol',
      method: 'refractometer',
      value: { value: -27, unit: 'C' },
    });
    expect([status, body.outcome.alerts.length]).toEqual([201, 1]);
    const alerts = await fleet.dashboard.get(`/v1/loss-alerts?vehicleId=${vehicleId}&units=si`);
    service.clock.moveTo('2026-04-02T15:00:00Z');
    expect(alerts.body.items).toMatchObject([{ kind: 'unrecorded-water' }]);
    // 50 % by volume freezes at -37.00 and 40 % at -24.80 (ASHRAE 2001), so -27 is about 42 %: V(1
    // - C1/C*) = 14 (1 - 42/50) = 2.2 L.
    const litres = Object.values(alerts.body.items[0].computed)
      .filter((value: any) => value?.unit === 'L')
      .map((value: any) => value.value);
    expect(litres.some((value) => value > 1.8 && value < 2.6)).toBe(true);
  });

  it('restores every due line when a manager voids the job', async () => {
    const vehicleId = await newVehicle('R-124');
    const before = (await linesOf(vehicleId)).map(dates);
    const job = await fleet.mechanic.post(
      '/v1/job-reports',
      goodJob(vehicleId, '2026-04-02T08:20:00-06:00', 20_001),
    );
    expect((await linesOf(vehicleId)).map(dates)).not.toEqual(before);
    expect(
      (await fleet.mechanic.post(`/v1/job-reports/${job.body.id}/void`, { reason: 'wrong vehicle' })).status,
    ).toBe(403);
    const { status, body } = await fleet.manager.post(`/v1/job-reports/${job.body.id}/void`, {
      reason: 'wrong vehicle',
    });
    expect([status, body.voided.reason]).toEqual([200, 'wrong vehicle']);
    expect((await linesOf(vehicleId)).map(dates)).toEqual(before);
  });

  it('finds no difference in a rebuild from history', async () => {
    service.clock.moveTo('2026-06-11T15:00:00Z');
    const result = await rebuildAll({ databaseUrl: service.database.url, schema, clock: service.clock });
    expect(result.vehicles).toBeGreaterThan(8);
    expect(result.differences).toEqual([]);
  });
});
