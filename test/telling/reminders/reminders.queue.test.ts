import type { INestApplicationContext } from '@nestjs/common';
import { Webhook } from 'standardwebhooks';
import { v7 as uuidv7 } from 'uuid';
import { buildWorker } from '../../../src/bootstrap.worker.js';
import { DeliveryService } from '../../../src/telling/reminders/delivery/delivery.service.js';
import { DeliverySteps } from '../../../src/telling/reminders/delivery/delivery-steps.js';
import { WakeUps } from '../../../src/conclusions/outbox/wake-ups.js';
import { dailyPattern, secondsAfterHour } from '../../../src/telling/reminders/sweep/morning-spread.js';
import { SweepService } from '../../../src/telling/reminders/sweep/sweep.service.js';
import { inFleet } from '../../../src/platform/scope/fleet-scope.js';
import { FleetSchedule } from '../../../src/telling/reminders/sweep/fleet-schedule.js';
import { statementListeners } from '../../../src/platform/database/scoped-pool.js';
import { WorkQueue } from '../../../src/platform/queue/work-queue.js';
import { seedDueLine } from '../../support/due-lines.js';
import { untilWorkerIsIdle } from '../../support/idle.js';
import { type Received, type Receiver, startReceiver, until } from '../../support/receiver.js';
import { askForSweep, sweepVehicles } from '../../support/sweep-requests.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

/** Ten in the morning in Denver. */
const at = (day: string): string => `${day}T16:00:00Z`;

/** Stands over three stages; the window opens on 3 April, due on the 6th, late from the 9th. */
const DATES = { windowOpensOn: '2026-04-03', dueOn: '2026-04-06', lateOn: '2026-04-09' };

/** The queue's own schedule has so long to do what is due before it counts as missed. */
const GIVEN_TO_THE_QUEUE_MS = 60_000;

describe('reminders', () => {
  let service: Service;
  let receiver: Receiver;
  let fleet: FleetHandle;

  beforeAll(async () => {
    service = await startService({
      withWorker: true,
      at: at('2026-04-02'),
      // So that nothing but the tests looks for reminders that wait.
      env: { QUEUE_CHECK_SECONDS: '300' },
    });
    // The tests say when lost work is looked for; its timer would do so in between.
    await service.app.get(FleetSchedule).beforeApplicationShutdown();
  });
  afterAll(() => service.stop());

  beforeEach(async () => {
    service.clock.moveTo(at('2026-04-02'));
    receiver = await startReceiver();
    fleet = await service.newFleet();
  });
  afterEach(() => receiver.close());

  const sweeps = (): SweepService => service.app.get(SweepService);
  /** When a fleet is swept whose zone has six o'clock at this instant. */
  const momentAfter = (six: string): number => Date.parse(six) + 1000 * secondsAfterHour(fleet.fleetId);
  const schedule = (): FleetSchedule => service.app.get(FleetSchedule);

  async function newTarget(extra: object = {}): Promise<any> {
    const { status, body } = await fleet.manager.post('/v1/reminder-targets', {
      kind: 'webhook',
      address: receiver.url,
      ...extra,
    });
    expect([status, body]).toEqual([201, expect.objectContaining({ kind: 'webhook' })]);
    // It is told at once of what stands already; a test that moves the clock must not overtake
    // that.
    await untilIdle();
    return body;
  }

  const untilIdle = (): Promise<void> => untilWorkerIsIdle(service);

  async function reminders(query = ''): Promise<any[]> {
    const { status, body } = await fleet.dashboard.get(`/v1/reminders${query}`);
    expect(status).toBe(200);
    return body.items;
  }

  /** Waits until the fleet's reminders have these stages and statuses, the newest first. */
  async function untilReminders(expected: string[]): Promise<any[]> {
    let rows: any[] = [];
    const shown = (): string[] => rows.map(({ stage, status }) => `${stage} ${status}`);
    await until(
      async () => {
        rows = await reminders();
        return JSON.stringify(shown()) === JSON.stringify(expected);
      },
      10_000,
      () => `the reminders are ${shown().join(', ') || 'none'}, not ${expected.join(', ')}`,
    );
    return rows;
  }

  /**
   * By the independent verifier; it throws on a signature that is not the secret's, and on a time
   * that is not now.
   */
  const verify = ({ text, headers }: Received, secret: string): unknown =>
    new Webhook(secret).verify(text, headers as Record<string, string>);

  it('come for window, due and late as the days go by, each once and signed', async () => {
    const target = await newTarget();
    const line = await seedDueLine(service, fleet.fleetId, DATES);
    for (let day = 2; day <= 14; day++) {
      service.clock.moveTo(at(`2026-04-${String(day).padStart(2, '0')}`));
      await sweeps().sweepFleet(fleet.fleetId);
      await sweeps().sweepFleet(fleet.fleetId);
      const expected = [
        day >= 9 ? 'late sent' : '',
        day >= 6 ? 'due sent' : '',
        day >= 3 ? 'window sent' : '',
      ];
      await untilReminders(expected.filter(Boolean));
      if ([3, 6, 9].includes(day)) {
        const message = receiver.received.at(-1) as Received;
        expect(verify(message, target.secret)).toMatchObject({
          type: `due-line.${day === 3 ? 'window' : day === 6 ? 'due' : 'late'}`,
          timestamp: service.clock.now().toISOString(),
          data: {
            id: line.id,
            vehicle: { id: line.vehicleId, unitNumber: line.unitNumber, depotId: null },
            ...DATES,
            remaining: { days: 6 - day },
            dueAt: { odometer: { value: 100_000, unit: 'mi' } },
          },
        });
        expect(() => verify(message, `whsec_${Buffer.alloc(32).toString('base64')}`)).toThrow();
      }
    }
    expect(receiver.received.map(({ body }) => body.data.state)).toEqual(['window', 'due', 'late']);
    const ids = receiver.received.map(({ headers }) => headers['webhook-id']);
    expect(new Set(ids).size).toBe(3);
    expect(ids).toEqual((await reminders()).map(({ webhookId }) => webhookId).reverse());
  });

  it('come again when the line counts from a new job', async () => {
    await newTarget();
    const line = await seedDueLine(service, fleet.fleetId, DATES);
    service.clock.moveTo(at('2026-04-06'));
    await sweepVehicles(service, fleet.fleetId, [line.vehicleId]);
    await untilReminders(['due sent', 'window superseded']);
    await service.database.admin.query('update due_lines set cycle = $2 where id = $1', [line.id, uuidv7()]);
    await sweepVehicles(service, fleet.fleetId, [line.vehicleId]);
    await receiver.untilReceived(2);
    expect(receiver.received.map(({ body }) => body.type)).toEqual(['due-line.due', 'due-line.due']);
  });

  it('come once, for late, if a line goes straight there, and record the other stages as superseded', async () => {
    await newTarget();
    const line = await seedDueLine(service, fleet.fleetId, DATES);
    service.clock.moveTo(at('2026-04-10'));
    await askForSweep(service, fleet.fleetId, [line.vehicleId]);
    service.app.get(WakeUps).wake(fleet.fleetId);
    await receiver.untilReceived(1);
    await until(async () => (await reminders('?status=sent')).length === 1);
    await untilIdle();
    expect(receiver.received.map(({ body }) => body.type)).toEqual(['due-line.late']);
    expect((await reminders('?status=superseded')).map(({ stage }) => stage).sort()).toEqual([
      'due',
      'window',
    ]);
  });

  it('are limited to what a target asked for: news, stages, depots, components', async () => {
    const { body: depot } = await fleet.manager.post('/v1/depots', { name: 'North' });
    const here = await seedDueLine(service, fleet.fleetId, {
      ...DATES,
      depotId: depot.id,
      component: 'coolant',
    });
    await seedDueLine(service, fleet.fleetId, DATES);
    const wanted = await newTarget({ depotIds: [depot.id], components: ['coolant'], stages: ['window'] });
    await newTarget({ hears: ['loss-alert'] });
    await newTarget({ stages: ['late'] });
    await newTarget({ components: ['drive-belt'] });
    await newTarget({ enabled: false });
    service.clock.moveTo(at('2026-04-03'));
    await sweeps().sweepFleet(fleet.fleetId);
    const [only] = await untilReminders(['window sent']);
    expect(only).toMatchObject({ targetId: wanted.id, dueLineId: here.id, component: 'coolant' });
    expect(await reminders(`?targetId=${wanted.id}&dueLineId=${here.id}`)).toHaveLength(1);
    expect(await reminders(`?targetId=${uuidv7()}`)).toHaveLength(0);
  });

  it('are retried when the receiver fails, with the same id and bytes, and keep every attempt', async () => {
    const target = await newTarget();
    await seedDueLine(service, fleet.fleetId, DATES);
    service.clock.moveTo(at('2026-04-03'));
    receiver.answer = (reply) => reply.writeHead(500).end('out of order');
    await sweeps().sweepFleet(fleet.fleetId);
    await receiver.untilReceived(1);
    await until(async () => (await answeredOf((await reminders())[0].id)).length === 1);
    const [waiting] = await untilReminders(['window waiting']);
    const waitMs = Date.parse(waiting.nextAttemptAt) - service.clock.now().getTime();
    expect(waitMs).toBeGreaterThanOrEqual(10_000);
    expect(waitMs).toBeLessThanOrEqual(12_500);

    // Not yet its time: nothing is sent.
    await schedule().takeUpLostWork();
    await untilIdle();
    expect(receiver.received).toHaveLength(1);

    receiver.answer = (reply) => reply.writeHead(200).end('thank you');
    service.clock.moveTo(new Date(service.clock.now().getTime() + 15_000));
    await schedule().takeUpLostWork();
    const [first, second] = await receiver.untilReceived(2);
    const [sent] = await untilReminders(['window sent']);
    expect(sent).toMatchObject({
      attempts: 2,
      sentAt: service.clock.now().toISOString(),
      nextAttemptAt: null,
    });
    expect(second?.text).toBe(first?.text);
    expect(second?.headers['webhook-id']).toBe(first?.headers['webhook-id']);
    expect(verify(second as Received, target.secret)).toBeTruthy();
    expect(await attemptsOf(sent.id)).toEqual([
      expect.objectContaining({ number: 1, httpStatus: 500, error: null, answer: 'out of order' }),
      expect.objectContaining({ number: 2, httpStatus: 200, error: null, answer: 'thank you' }),
    ]);
  });

  it('are given up after the last attempt, and can be resent', async () => {
    await newTarget();
    await seedDueLine(service, fleet.fleetId, DATES);
    service.clock.moveTo(at('2026-04-03'));
    receiver.answer = (reply) => reply.writeHead(500).end();
    await sweeps().sweepFleet(fleet.fleetId);
    await receiver.untilReceived(1);
    // The wait before each attempt is tested on its own; here only the count matters.
    await until(async () => (await answeredOf((await reminders())[0].id)).length === 1);
    await service.database.admin.query(
      `update reminders set attempts = 10, next_attempt_at = $2 where fleet_id = $1`,
      [fleet.fleetId, service.clock.now()],
    );
    await schedule().takeUpLostWork();
    const [given] = await untilReminders(['window undelivered']);
    expect(given).toMatchObject({ attempts: 11, nextAttemptAt: null });

    expect((await fleet.mechanic.post(`/v1/reminders/${given.id}/resend`)).status).toBe(403);
    receiver.answer = (reply) => reply.writeHead(204).end();
    const again = await fleet.manager.post(`/v1/reminders/${given.id}/resend`);
    expect([again.status, again.body.status, again.body.attempts]).toEqual([200, 'waiting', 0]);
    const [sent] = await untilReminders(['window sent']);
    expect(sent.attempts).toBe(1);
    expect((await attemptsOf(given.id)).map(({ number, httpStatus }) => [number, httpStatus])).toEqual([
      [1, 500],
      [2, 500],
      [3, 204],
    ]);

    // What no longer holds is not sent again.
    service.clock.moveTo(at('2026-04-07'));
    expect((await fleet.manager.post(`/v1/reminders/${given.id}/resend`)).status).toBe(409);
    expect((await fleet.manager.post(`/v1/reminders/${uuidv7()}/resend`)).status).toBe(404);
  });

  it('stop for a target that answers 410, until it is enabled again', async () => {
    const target = await newTarget();
    await seedDueLine(service, fleet.fleetId, DATES);
    service.clock.moveTo(at('2026-04-03'));
    receiver.answer = (reply) => reply.writeHead(410).end();
    await sweeps().sweepFleet(fleet.fleetId);
    await untilReminders(['window undelivered']);
    const read = await fleet.manager.get(`/v1/reminder-targets/${target.id}`);
    expect(read.body).toMatchObject({ enabled: false, disabledAt: at('2026-04-03').replace('Z', '.000Z') });
    expect(read.body.disabledReason).toEqual({
      ...{ code: 'target-gone', values: {} },
      text: 'The receiver answered 410 Gone: it wants no more of this.',
    });
    service.clock.moveTo(at('2026-04-06'));
    await sweeps().sweepFleet(fleet.fleetId);
    await untilIdle();
    expect(receiver.received).toHaveLength(1);

    receiver.answer = (reply) => reply.writeHead(204).end();
    expect(receiver.received[0]?.body.type).toBe('due-line.window');
    const enabled = await fleet.manager.patch(`/v1/reminder-targets/${target.id}`, { enabled: true });
    expect(enabled.body).toMatchObject({ enabled: true, disabledAt: null, disabledReason: null });
    await receiver.untilReceived(2);
    // What stands when it is enabled again comes in one message.
    expect(receiver.received[1]?.body).toMatchObject({ type: 'digest', data: { counts: { due: 1 } } });
    await untilReminders(['due sent', 'null sent', 'window undelivered']);
  });

  it('are found if their job never reached the queue', async () => {
    await newTarget();
    await seedDueLine(service, fleet.fleetId, DATES);
    service.clock.moveTo(at('2026-04-03'));
    const queueing = jest.spyOn(service.app.get(WorkQueue), 'add').mockResolvedValue(false);
    await sweeps().sweepFleet(fleet.fleetId);
    queueing.mockRestore();
    await untilIdle();
    expect(receiver.received).toHaveLength(0);
    await untilReminders(['window waiting']);
    await schedule().takeUpLostWork();
    await receiver.untilReceived(1);
    await untilReminders(['window sent']);
  });

  it('are taken over when their worker died and its lease has expired', async () => {
    await newTarget();
    await seedDueLine(service, fleet.fleetId, DATES);
    service.clock.moveTo(at('2026-04-03'));
    const queueing = jest.spyOn(service.app.get(WorkQueue), 'add').mockResolvedValue(false);
    await sweeps().sweepFleet(fleet.fleetId);
    queueing.mockRestore();
    // As a worker leaves it that took it up and was killed.
    await service.database.admin.query(
      `update reminders set attempts = 1, next_attempt_at = next_attempt_at + interval '1 minute' where fleet_id = $1`,
      [fleet.fleetId],
    );
    await schedule().takeUpLostWork();
    await untilIdle();
    expect(receiver.received).toHaveLength(0);
    service.clock.moveTo(new Date(service.clock.now().getTime() + 61_000));
    await schedule().takeUpLostWork();
    await receiver.untilReceived(1);
    expect((await untilReminders(['window sent']))[0].attempts).toBe(2);
  });

  it.each([
    [
      'the job is done',
      `cycle = 'a-later-job', window_opens_on = '2027-04-01', due_on = '2027-04-02', late_on = '2027-04-03'`,
    ],
    ['it counts from a new job, be it in its window again', `cycle = 'a-later-job'`],
    ['the line is closed', 'is_open = false'],
    [
      'the projection moved out',
      `window_opens_on = '2026-05-01', due_on = '2026-05-02', late_on = '2026-05-03'`,
    ],
  ])('are withdrawn if still waiting when %s', async (_why, change) => {
    await newTarget();
    const line = await seedDueLine(service, fleet.fleetId, DATES);
    service.clock.moveTo(at('2026-04-03'));
    receiver.answer = (reply) => reply.writeHead(503).end();
    await sweeps().sweepFleet(fleet.fleetId);
    await until(async () => {
      const [reminder] = await reminders();
      return reminder !== undefined && (await answeredOf(reminder.id)).length === 1;
    });
    await service.database.admin.query(`update due_lines set ${change} where id = $1`, [line.id]);
    service.clock.moveTo(new Date(service.clock.now().getTime() + 15_000));
    await schedule().takeUpLostWork();
    await untilReminders(['window withdrawn']);
    expect(receiver.received).toHaveLength(1);
  });

  it('are sent after all if they apply again after being withdrawn', async () => {
    await newTarget();
    const line = await seedDueLine(service, fleet.fleetId, DATES);
    service.clock.moveTo(at('2026-04-03'));
    const queueing = jest.spyOn(service.app.get(WorkQueue), 'add').mockResolvedValue(false);
    await sweeps().sweepFleet(fleet.fleetId);
    queueing.mockRestore();
    await service.database.admin.query('update due_lines set is_open = false where id = $1', [line.id]);
    await schedule().takeUpLostWork();
    await untilReminders(['window withdrawn']);
    // The job report that closed it is voided.
    await service.database.admin.query('update due_lines set is_open = true where id = $1', [line.id]);
    await sweepVehicles(service, fleet.fleetId, [line.vehicleId]);
    await untilReminders(['window sent']);
    expect(receiver.received).toHaveLength(1);
  });

  it('are superseded if still waiting when the line reaches the next stage', async () => {
    await newTarget();
    await seedDueLine(service, fleet.fleetId, DATES);
    service.clock.moveTo(at('2026-04-03'));
    receiver.answer = (reply) => reply.writeHead(500).end();
    await sweeps().sweepFleet(fleet.fleetId);
    await until(async () => {
      const [reminder] = await reminders();
      return reminder !== undefined && (await answeredOf(reminder.id)).length === 1;
    });
    receiver.answer = (reply) => reply.writeHead(204).end();
    service.clock.moveTo(at('2026-04-06'));
    await sweeps().sweepFleet(fleet.fleetId);
    await untilReminders(['due sent', 'window superseded']);
    await schedule().takeUpLostWork();
    await untilIdle();
    expect(receiver.received.map(({ body }) => body.type)).toEqual(['due-line.window', 'due-line.due']);
  });

  it('name the lower stage if the higher one is still waiting and no longer applies', async () => {
    await newTarget();
    const line = await seedDueLine(service, fleet.fleetId, DATES);
    service.clock.moveTo(at('2026-04-10'));
    receiver.answer = (reply) => reply.writeHead(500).end();
    await sweeps().sweepFleet(fleet.fleetId);
    await until(async () => {
      const [late] = await reminders('?status=waiting');
      return late !== undefined && (await answeredOf(late.id)).length === 1;
    });
    receiver.answer = (reply) => reply.writeHead(204).end();
    // A corrected reading puts its lateness off.
    await service.database.admin.query(`update due_lines set late_on = '2026-05-01' where id = $1`, [
      line.id,
    ]);
    await sweepVehicles(service, fleet.fleetId, [line.vehicleId]);
    service.clock.moveTo(at('2026-04-11'));
    await schedule().takeUpLostWork();
    await until(async () => (await reminders('?status=waiting')).length === 0);
    // A slow machine may tell of a delivery trouble in between; it has no stage.
    const ofLines = (await reminders()).filter(({ stage }) => stage !== null);
    const stood = ofLines.map(({ stage, status }) => `${stage} ${status}`).sort();
    expect(stood).toEqual(['due sent', 'late withdrawn', 'window superseded']);
  });

  it('are sent only within the hours of the target', async () => {
    await newTarget({ sendBetween: { from: '11:00', to: '20:00' } });
    await seedDueLine(service, fleet.fleetId, DATES);
    service.clock.moveTo(at('2026-04-03'));
    await sweeps().sweepFleet(fleet.fleetId);
    const [waiting] = await untilReminders(['window waiting']);
    expect(waiting.nextAttemptAt).toBe('2026-04-03T17:00:00.000Z');
    await schedule().takeUpLostWork();
    await untilIdle();
    expect(receiver.received).toHaveLength(0);
    service.clock.moveTo('2026-04-03T17:00:00Z');
    await schedule().takeUpLostWork();
    await receiver.untilReceived(1);
    await untilReminders(['window sent']);
  });

  it('stop for a removed target, and keep what it was sent', async () => {
    const target = await newTarget();
    await seedDueLine(service, fleet.fleetId, DATES);
    service.clock.moveTo(at('2026-04-03'));
    await sweeps().sweepFleet(fleet.fleetId);
    await untilReminders(['window sent']);
    expect((await fleet.manager.delete(`/v1/reminder-targets/${target.id}`)).status).toBe(204);
    expect((await fleet.manager.get(`/v1/reminder-targets/${target.id}`)).status).toBe(404);
    expect((await fleet.manager.get('/v1/reminder-targets')).body.items).toEqual([]);
    service.clock.moveTo(at('2026-04-06'));
    await sweeps().sweepFleet(fleet.fleetId);
    await untilIdle();
    expect(receiver.received).toHaveLength(1);
    expect(await reminders(`?targetId=${target.id}`)).toHaveLength(1);
  });

  it('make up for a missed morning once a day, and not before the fleet’s own second', async () => {
    await newTarget();
    await seedDueLine(service, fleet.fleetId, DATES);
    await service.database.admin.query('insert into fleet_sweeps (fleet_id, swept_on) values ($1, $2)', [
      fleet.fleetId,
      '2026-04-02',
    ]);
    const moment = momentAfter('2026-04-03T12:00:00Z');
    service.clock.moveTo(new Date(moment - 1000));
    await schedule().takeUpLostWork();
    await untilIdle();
    expect(receiver.received).toHaveLength(0);
    service.clock.moveTo(new Date(moment + GIVEN_TO_THE_QUEUE_MS));
    await schedule().takeUpLostWork();
    await receiver.untilReceived(1);
    await untilIdle();
    const { rows } = await service.database.admin.query(
      'select swept_on::text from fleet_sweeps where fleet_id = $1',
      [fleet.fleetId],
    );
    expect(rows).toEqual([{ swept_on: '2026-04-03' }]);
  });

  // America/Denver goes forward on 8 March and back on 1 November 2026, at two (IANA time zone
  // database).
  it.each([
    ['the clocks go forward', '2026-03-07', '2026-03-08T12:00:00Z'],
    ['the clocks go back', '2026-10-31', '2026-11-01T13:00:00Z'],
  ])('keep to the fleet’s second after six on the day %s', async (_what, dayBefore, six) => {
    await newTarget();
    await service.database.admin.query('insert into fleet_sweeps (fleet_id, swept_on) values ($1, $2)', [
      fleet.fleetId,
      dayBefore,
    ]);
    const day = six.slice(0, 10);
    await seedDueLine(service, fleet.fleetId, {
      windowOpensOn: day,
      dueOn: '2026-12-01',
      lateOn: '2026-12-02',
    });
    const moment = momentAfter(six);
    service.clock.moveTo(new Date(moment - 1000));
    await schedule().takeUpLostWork();
    await untilIdle();
    expect(receiver.received).toHaveLength(0);
    service.clock.moveTo(new Date(moment + GIVEN_TO_THE_QUEUE_MS));
    await schedule().takeUpLostWork();
    await receiver.untilReceived(1);
    expect(receiver.received[0]?.body.type).toBe('due-line.window');
  });

  it('have a morning in the queue for every fleet in its own zone, restored if it is lost or wrong', async () => {
    const apia = await service.newFleet({ timeZone: 'Pacific/Apia' });
    const queue = service.app.get(WorkQueue).queue('work');
    const morningOf = async (fleetId: string): Promise<any> =>
      (await queue.getJobSchedulers(0, -1)).find(({ key }) => key === `morning_${fleetId}`);
    await schedule().scheduleMornings();
    const morning = await morningOf(apia.fleetId);
    expect(morning).toMatchObject({
      pattern: dailyPattern(apia.fleetId, 6),
      tz: 'Pacific/Apia',
      name: 'sweep-fleet',
    });
    const sinceHour = ({ next }: { next: number }, fleetId: string): string =>
      new Date(next - 1000 * secondsAfterHour(fleetId)).toISOString().slice(11);
    // Apia is UTC+13 all year (IANA time zone database, since 2021): six there is 17:00 the day
    // before in UTC.
    expect(sinceHour(morning, apia.fleetId)).toBe('17:00:00.000Z');
    await queue.removeJobScheduler(`morning_${apia.fleetId}`);
    await service.database.admin.query(`update fleets set time_zone = 'Asia/Kolkata' where id = $1`, [
      fleet.fleetId,
    ]);
    await schedule().scheduleMornings();
    expect(await morningOf(apia.fleetId)).toMatchObject({ tz: 'Pacific/Apia', next: morning.next });
    const moved = await morningOf(fleet.fleetId);
    expect(moved.tz).toBe('Asia/Kolkata');
    expect(sinceHour(moved, fleet.fleetId)).toBe('00:30:00.000Z');
  });

  it('are sent once when two workers take up the same work', async () => {
    const other = await buildWorker(service.config, { clock: service.clock });
    try {
      await newTarget();
      for (let n = 0; n < 25; n++) await seedDueLine(service, fleet.fleetId, DATES);
      service.clock.moveTo(at('2026-04-03'));
      receiver.answer = (reply) => setTimeout(() => reply.writeHead(204).end(), 20);
      await Promise.all([
        sweeps().sweepFleet(fleet.fleetId),
        other.get(SweepService).sweepFleet(fleet.fleetId),
        schedule().takeUpLostWork(),
        other.get(FleetSchedule).takeUpLostWork(),
      ]);
      await Promise.all([schedule().takeUpLostWork(), other.get(FleetSchedule).takeUpLostWork()]);
      const ids = (await reminders('?limit=200')).map(({ id }) => id);
      expect(ids).toHaveLength(25);
      // Straight at the service as well: all at once, from both.
      const deliver = (worker: INestApplicationContext): Promise<void>[] =>
        ids.map((id) => worker.get(DeliveryService).deliver(fleet.fleetId, id));
      await Promise.all([...deliver(service.app), ...deliver(other)]);
      await until(async () => (await reminders('?status=sent&limit=200')).length === 25);
      await untilIdle();
      const received = receiver.received.map(({ headers }) => headers['webhook-id']).sort();
      expect(received).toEqual(ids.map((id) => `msg_${id}`).sort());
    } finally {
      await other.close();
    }
  });

  describe('that go out at the same time', () => {
    const REMINDERS = 40;

    /** Reminders that wait to be sent now, and that no job is queued for. */
    async function waiting(): Promise<{ ids: string[]; lines: string[] }> {
      const { admin } = service.database;
      const { id: targetId } = await newTarget();
      const lines: string[] = [];
      for (let n = 0; n < REMINDERS; n++) lines.push((await seedDueLine(service, fleet.fleetId, DATES)).id);
      service.clock.moveTo(at('2026-04-03'));
      const { rows } = await admin.query<{ id: string }>(
        `insert into reminders (fleet_id, id, target_id, due_line_id, cycle, stage, status, next_attempt_at, created_at)
         select $1, uuidv7(), $2, l.id, 'in-service', 'window', 'waiting', $4, $4 from unnest($3::uuid[]) with ordinality l(id, place)
         order by l.place returning id`,
        [fleet.fleetId, targetId, lines, service.clock.now()],
      );
      return { ids: rows.map(({ id }) => id), lines };
    }

    const deliverAll = (ids: string[]): Promise<PromiseSettledResult<void>[]> =>
      Promise.allSettled(ids.map((id) => service.app.get(DeliveryService).deliver(fleet.fleetId, id)));

    const statuses = async (): Promise<Record<string, number>> => {
      const counts: Record<string, number> = {};
      for (const { status } of await reminders('?limit=200')) counts[status] = (counts[status] ?? 0) + 1;
      return counts;
    };

    it('are looked up together, and each ends as its receiver and its line decide', async () => {
      const { ids, lines } = await waiting();
      const { admin } = service.database;
      await admin.query('update due_lines set is_open = false where id = $1', [lines[7]]);
      const replies: (() => void)[] = [];
      receiver.answer = (reply, { headers }) => {
        replies.push(() => reply.writeHead(headers['webhook-id'] === `msg_${ids[3]}` ? 500 : 204).end());
        if (replies.length === REMINDERS - 1) for (const end of replies) end();
      };
      // One that fails may be retried before the slowest is told, and is then asked about alone.
      const statements = new Map<string, number>();
      const listen = (_text: string, values: readonly unknown[], name = ''): void => {
        const isOfSeveral = Array.isArray(values[1]) && values[1].length > 1;
        if (isOfSeveral) statements.set(name, (statements.get(name) ?? 0) + 1);
      };
      statementListeners.add(listen);
      const outcomes = await deliverAll(ids);
      statementListeners.delete(listen);

      expect(outcomes.filter(({ status }) => status === 'rejected')).toEqual([]);
      expect(await statuses()).toEqual({ sent: REMINDERS - 2, waiting: 1, withdrawn: 1 });
      expect((await attemptsOf(ids[3] as string)).map(({ httpStatus }) => httpStatus)).toEqual([500]);
      expect((await attemptsOf(ids[4] as string)).map(({ httpStatus }) => httpStatus)).toEqual([204]);
      expect(await attemptsOf(ids[7] as string)).toEqual([]);
      expect(receiver.received).toHaveLength(REMINDERS - 1);
      expect([statements.get('waiting_now'), statements.get('lines_in_hand')]).toEqual([1, 1]);
      expect(statements.get('begin_attempts')).toBe(1);
      // Answers that come while others are written down share a statement.
      expect(statements.get('end_accepted')).toBeLessThan(REMINDERS / 2);
    });

    it('are begun by one of the workers that read them, and only if nothing else happened to them', async () => {
      const { ids } = await waiting();
      const { admin } = service.database;
      const steps = service.app.get(DeliverySteps);
      const scope = {
        fleetId: fleet.fleetId,
        timeZone: 'UTC',
        units: 'si',
        tokenId: null,
        role: null,
      } as const;
      const begin = (id: string, attempt = 1) =>
        inFleet(scope, () =>
          steps.begin(fleet.fleetId, { reminderId: id, attempt, body: '{}', at: service.clock.now() }),
        );
      const [free, ended, taken, resent, later, gathered] = ids as [
        string,
        string,
        string,
        string,
        string,
        string,
      ];
      for (const id of ids) expect(await steps.look(fleet.fleetId, id)).not.toBeNull();
      await admin.query(`update reminders set status = 'withdrawn' where id = $1`, [ended]);
      await admin.query('update reminders set attempts = 1 where id = $1', [resent]);
      await admin.query(
        `update reminders set next_attempt_at = next_attempt_at + interval '1 second' where id = $1`,
        [later],
      );
      await admin.query('update reminders set digest_id = $2 where id = $1', [gathered, free]);

      expect(await Promise.all([begin(taken), begin(taken)])).toEqual([{ number: 1, body: '{}' }, null]);
      expect(await begin(taken)).toBeNull();
      for (const id of [ended, resent, later, gathered]) expect([id, await begin(id)]).toEqual([id, null]);
      expect(await begin(resent, 2)).toEqual({ number: 1, body: '{}' });
      expect(await steps.look(fleet.fleetId, taken)).toBeNull();
      expect(await begin(free)).toEqual({ number: 1, body: '{}' });
      expect(
        (await admin.query('select from reminder_attempts where reminder_id = any($1)', [ids])).rowCount,
      ).toBe(3);
    });

    it('are sent even if one of them cannot be recorded', async () => {
      const { ids } = await waiting();
      const { admin } = service.database;
      await admin.query(
        `create function refuse_one() returns trigger language plpgsql as $$
         begin
           if new.reminder_id = '${ids[5]}' then raise exception 'not this one'; end if;
           return new;
         end $$`,
      );
      await admin.query(
        'create trigger refuse_one before insert on reminder_attempts for each row execute function refuse_one()',
      );
      const outcomes = await deliverAll(ids);
      await admin.query('drop trigger refuse_one on reminder_attempts');
      await admin.query('drop function refuse_one()');

      expect(outcomes.flatMap(({ status }, index) => (status === 'rejected' ? [index] : []))).toEqual([5]);
      expect(await statuses()).toEqual({ sent: REMINDERS - 1, waiting: 1 });
      expect(receiver.received).toHaveLength(REMINDERS - 1);
    });
  });

  /** The attempts that have been answered, or have failed; each is on record before. */
  async function answeredOf(id: string): Promise<any[]> {
    return (await attemptsOf(id)).filter(({ durationMs }) => durationMs !== null);
  }

  async function attemptsOf(id: string): Promise<any[]> {
    return (await fleet.dashboard.get(`/v1/reminders/${id}/attempts`)).body.items;
  }
});
