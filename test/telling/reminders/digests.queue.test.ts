import type { INestApplicationContext } from '@nestjs/common';
import { Webhook } from 'standardwebhooks';
import { buildWorker } from '../../../src/bootstrap.worker.js';
import { DeliveryService } from '../../../src/telling/reminders/delivery/delivery.service.js';
import { FleetSchedule } from '../../../src/telling/reminders/sweep/fleet-schedule.js';
import { SweepService } from '../../../src/telling/reminders/sweep/sweep.service.js';
import { WorkQueue } from '../../../src/platform/queue/work-queue.js';
import { seedDueLine } from '../../support/due-lines.js';
import { type MailServer, startMailServer } from '../../support/mail-server.js';
import { untilWorkerIsIdle } from '../../support/idle.js';
import { type Receiver, startReceiver, until } from '../../support/receiver.js';
import { sweepVehicles } from '../../support/sweep-requests.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';
import { inText } from '../../support/told.js';

/** In Denver, on daylight-saving time, seven hours and then six behind UTC. */
const at = (day: string, hour = 10): string =>
  new Date(Date.parse(`${day}T00:00:00Z`) + (hour + 6) * 3_600_000).toISOString();

const DATES = { windowOpensOn: '2026-04-03', dueOn: '2026-04-06', lateOn: '2026-04-09' };

describe('a target’s news', () => {
  let service: Service;
  let receiver: Receiver;
  let mail: MailServer;
  let fleet: FleetHandle;

  beforeAll(async () => {
    mail = await startMailServer();
    service = await startService({
      withWorker: true,
      at: at('2026-04-02'),
      env: { SMTP_URL: mail.url, MAIL_FROM: 'fleet@example.org' },
    });
    await service.app.get(FleetSchedule).beforeApplicationShutdown();
  });
  afterAll(async () => {
    await service.stop();
    await mail.close();
  });
  beforeEach(async () => {
    service.clock.moveTo(at('2026-04-02'));
    receiver = await startReceiver();
    mail.received.length = 0;
    fleet = await service.newFleet();
  });
  afterEach(() => receiver.close());

  const sweep = (): Promise<void> => service.app.get(SweepService).sweepFleet(fleet.fleetId);
  const takeUp = (): Promise<void> => service.app.get(FleetSchedule).takeUpLostWork();
  const types = (): string[] => receiver.received.map(({ body }) => body.type);
  const seed = (extra: object = {}) => seedDueLine(service, fleet.fleetId, { ...DATES, ...extra });

  const untilIdle = (): Promise<void> => untilWorkerIsIdle(service);

  async function newTarget(extra: object = {}): Promise<any> {
    const { status, body } = await fleet.manager.post('/v1/reminder-targets', {
      ...{ kind: 'webhook', address: receiver.url },
      ...extra,
    });
    expect([status, inText(body.errors)]).toEqual([201, undefined]);
    await untilIdle();
    return body;
  }

  async function reminders(query = ''): Promise<any[]> {
    const { status, body } = await fleet.dashboard.get(`/v1/reminders?limit=200${query}`);
    expect(status).toBe(200);
    return body.items;
  }

  /** Waits until so many messages have come and been recorded as sent, and sees that no more do. */
  async function untilHeard(count: number): Promise<any[]> {
    await receiver.untilReceived(count);
    await untilIdle();
    expect(types()).toHaveLength(count);
    return receiver.received.map(({ body }) => body);
  }

  async function newVehicle(unitNumber: string, extra: object = {}): Promise<string> {
    const { status, body } = await fleet.manager.post('/v1/vehicles', { unitNumber, ...extra });
    expect([status, inText(body.errors)]).toEqual([201, undefined]);
    return body.id;
  }

  /** A hold test that no circuit passes: half of the vacuum is gone after five minutes. */
  function postFailedTest(vehicleId: string, takenAt: string) {
    return fleet.mechanic.post(`/v1/vehicles/${vehicleId}/readings`, {
      ...{ kind: 'hold-test', takenAt, method: 'vacuum', minutes: 6 },
      ...{ start: { value: 22, unit: 'inHg' }, end: { value: 11, unit: 'inHg' } },
      gaugeResolution: { value: 0.5, unit: 'inHg' },
      coolantTemperature: { value: 22, unit: 'C' },
      wet: true,
    });
  }

  async function topUpTwice(vehicleId: string): Promise<void> {
    for (const takenAt of ['2026-03-21T12:00:00Z', '2026-04-01T12:00:00Z']) {
      const { status } = await fleet.mechanic.post(`/v1/vehicles/${vehicleId}/readings`, {
        ...{ kind: 'top-up', takenAt, added: { value: 0.5, unit: 'L' }, toMark: true, planned: false },
      });
      expect(status).toBe(201);
    }
  }

  /** Readings that go back: the counter cannot. */
  async function postHeld(vehicleId: string, count: number): Promise<void> {
    const reading = (n: number, value: number) => ({
      ...{ vehicleId, readAt: new Date(Date.parse('2026-04-01T00:00:00Z') + n * 60_000).toISOString() },
      odometer: { value, unit: 'mi' },
    });
    const { body } = await fleet.mechanic.post('/v1/usage-readings', {
      readings: [reading(0, 50_000), ...Array.from({ length: count }, (_, n) => reading(n + 1, 100 + n))],
    });
    expect(body.held).toBe(count);
  }

  it('is one digest for everything already open, and then one message for each new stage', async () => {
    service.clock.moveTo(at('2026-04-06'));
    for (let n = 0; n < 30; n++) await seed();
    await seed({ windowOpensOn: '2026-04-06', dueOn: '2026-04-08', lateOn: '2026-04-20' });
    const target = await newTarget();
    const [digest] = await untilHeard(1);
    expect(digest).toMatchObject({
      type: 'digest',
      data: {
        ...{ reminderTargetId: target.id, reason: 'catch-up', day: '2026-04-06' },
        ...{ total: 31, shown: 31, counts: { due: 30, window: 1 } },
        ...{ lossAlerts: [], failedReadings: [], heldReadings: [] },
      },
    });
    expect(digest.data.dueLines.map(({ state }: any) => state)).toEqual([...Array(30).fill('due'), 'window']);
    const [message] = receiver.received;
    expect(new Webhook(target.secret).verify(message?.text ?? '', message?.headers as never)).toBeTruthy();
    const [itself] = (await reminders()).filter(({ news }) => news === 'digest');
    expect(itself).toMatchObject({ status: 'sent', vehicle: null, dueLineId: null, stage: null });
    const members = await reminders(`&digestId=${itself.id}`);
    expect(members.map(({ status }) => status)).toEqual(Array(31).fill('sent'));
    expect(new Set(members.map(({ webhookId }) => webhookId))).toEqual(new Set([itself.webhookId]));
    // A member is resent with its digest, and not by itself.
    expect((await fleet.manager.post(`/v1/reminders/${members[0].id}/resend`)).body.detail).toContain(
      itself.id,
    );
    await sweep();
    service.clock.moveTo(at('2026-04-08'));
    await sweep();
    await untilHeard(2);
    expect(types()[1]).toBe('due-line.due');
  });

  it('of everything already open waits for the target’s hours, with all that comes until then', async () => {
    service.clock.moveTo(at('2026-04-06', 5));
    await seed();
    await newTarget({ sendBetween: { from: '08:00', to: '18:00' } });
    const late = await seed();
    await sweepVehicles(service, fleet.fleetId, [late.vehicleId]);
    await sweep();
    await untilHeard(0);
    service.clock.moveTo(at('2026-04-06', 8));
    await takeUp();
    const [digest] = await untilHeard(1);
    expect(digest.data.counts).toEqual({ due: 2 });
  });

  it('once a day is one message each morning with the stages since the last, and none if there are none', async () => {
    await newTarget({ digest: 'daily' });
    await newTarget({ kind: 'email', address: 'shop@example.com', digest: 'daily' });
    const first = await seed();
    const later = await seed({ windowOpensOn: '2026-04-04', dueOn: '2026-04-06', lateOn: '2026-04-20' });
    const done = await seed({ windowOpensOn: '2026-04-04', dueOn: '2026-04-06', lateOn: '2026-04-20' });
    const told: unknown[] = [];
    for (let day = 2; day <= 10; day++) {
      service.clock.moveTo(at(`2026-04-0${day}`.replace('010', '10'), 6));
      const before = receiver.received.length;
      // The morning's sweep twice, and one after a post: still one message.
      await sweep();
      await sweepVehicles(service, fleet.fleetId, [first.vehicleId, later.vehicleId]);
      await sweep();
      await untilIdle();
      await until(async () => (await reminders('&status=waiting')).length === 0);
      told.push(receiver.received.slice(before).map(({ body }) => [body.type, body.data.counts]));
      if (day === 4)
        await service.database.admin.query('update due_lines set is_open = false where id = $1', [done.id]);
    }
    expect(told).toEqual([
      [],
      [['digest', { window: 1 }]],
      [['digest', { window: 2 }]],
      [],
      [['digest', { due: 2 }]],
      [],
      [],
      [['digest', { late: 1 }]],
      [],
    ]);
    expect(mail.received.map(({ parsed }) => parsed.subject)).toEqual([
      '1 item needs attention',
      '2 items need attention',
      '2 items need attention',
      '1 item needs attention, 1 overdue',
    ]);
    expect(mail.received[3]?.parsed.text).toContain(
      `Overdue\n- ${first.unitNumber}: water pump: replace, overdue; due April 6, 2026`,
    );
  });

  it('once a day is as of sending: it leaves out a job done before that', async () => {
    await newTarget({ digest: 'daily', sendBetween: { from: '09:00', to: '18:00' } });
    const gone = await seed();
    await seed();
    service.clock.moveTo(at('2026-04-03', 6));
    await sweep();
    await untilHeard(0);
    await service.database.admin.query('update due_lines set is_open = false where id = $1', [gone.id]);
    service.clock.moveTo(at('2026-04-03', 9));
    await takeUp();
    const [digest] = await untilHeard(1);
    expect(digest.data).toMatchObject({ reason: 'daily', total: 1, counts: { window: 1 } });
    // All of it done: nothing is sent, and the digest is withdrawn.
    await seed({ windowOpensOn: '2026-04-04', dueOn: '2026-04-30', lateOn: '2026-05-05' });
    service.clock.moveTo(at('2026-04-04', 6));
    await sweep();
    await service.database.admin.query('update due_lines set is_open = false where fleet_id = $1', [
      fleet.fleetId,
    ]);
    service.clock.moveTo(at('2026-04-04', 9));
    await takeUp();
    await until(async () => (await reminders('&status=withdrawn')).length === 1);
    await untilHeard(1);
  });

  it('in a digest stays the same from attempt to attempt, and ends with it', async () => {
    await newTarget({ digest: 'daily' });
    const line = await seed();
    service.clock.moveTo(at('2026-04-03', 6));
    receiver.answer = (reply) => reply.writeHead(500).end();
    await sweep();
    await receiver.untilReceived(1);
    await untilIdle();
    expect((await reminders('&status=waiting')).map(({ news }) => news).sort()).toEqual([
      'digest',
      'due-line',
    ]);
    await seed();
    await service.database.admin.query('update due_lines set is_open = false where id = $1', [line.id]);
    service.clock.moveTo(new Date(service.clock.now().getTime() + 15_000));
    await takeUp();
    await receiver.untilReceived(2);
    const [first, second] = receiver.received;
    expect(second?.text).toBe(first?.text);
    expect(second?.headers['webhook-id']).toBe(first?.headers['webhook-id']);
    await untilIdle();
    receiver.answer = (reply) => reply.writeHead(410).end();
    service.clock.moveTo(new Date(service.clock.now().getTime() + 60_000));
    await takeUp();
    await until(async () => (await reminders('&status=undelivered')).length === 2);
  });

  it('in a digest is not doubled when two workers take it up, nor lost when one dies', async () => {
    await newTarget({ digest: 'daily' });
    for (let n = 0; n < 5; n++) await seed();
    service.clock.moveTo(at('2026-04-03', 6));
    const other = await buildWorker(service.config, { clock: service.clock });
    const queueing = jest.spyOn(service.app.get(WorkQueue), 'add').mockResolvedValue(false);
    try {
      await Promise.all([sweep(), other.get(SweepService).sweepFleet(fleet.fleetId)]);
      const [digest, ...rest] = await reminders('&status=waiting');
      expect([digest.news, rest]).toEqual(['digest', []]);
      const deliver = (worker: INestApplicationContext): Promise<void> =>
        worker.get(DeliveryService).deliver(fleet.fleetId, digest.id);
      await Promise.all([deliver(service.app), deliver(other), deliver(service.app), deliver(other)]);
      await untilHeard(1);
      // As a worker leaves it that was killed between the receiver's taking it and writing that
      // down.
      await service.database.admin.query(
        `update reminders set status = 'waiting', sent_at = null, next_attempt_at = $2 where fleet_id = $1 and status = 'sent'`,
        [fleet.fleetId, new Date(service.clock.now().getTime() + 60_000)],
      );
      await deliver(other);
      await untilHeard(1);
      service.clock.moveTo(new Date(service.clock.now().getTime() + 61_000));
      await deliver(other);
      await untilHeard(2);
      const [first, second] = receiver.received;
      expect(second?.text).toBe(first?.text);
      expect(second?.headers['webhook-id']).toBe(first?.headers['webhook-id']);
      expect((await reminders('&status=sent')).length).toBe(6);
    } finally {
      queueing.mockRestore();
      await other.close();
    }
  });

  it('of a line that stays late is repeated after the set number of days', async () => {
    await newTarget({ repeatLateDays: 3, stages: ['late'] });
    await newTarget({ stages: ['late'], components: ['water-pump'] });
    const line = await seed();
    const days: number[] = [];
    for (let day = 8; day <= 16; day++) {
      service.clock.moveTo(at(`2026-04-${String(day).padStart(2, '0')}`, 6));
      const before = receiver.received.length;
      await sweep();
      await sweep();
      await untilIdle();
      await until(async () => (await reminders('&status=waiting')).length === 0);
      for (let n = before; n < receiver.received.length; n++) days.push(day);
    }
    // Both are told on the 9th, the day it is late; the one that asked for it every third day from
    // then on.
    expect(days).toEqual([9, 9, 12, 15]);
    expect(new Set(receiver.received.map(({ headers }) => headers['webhook-id'])).size).toBe(4);
    await service.database.admin.query(`update due_lines set is_open = false where id = $1`, [line.id]);
    service.clock.moveTo(at('2026-04-18', 6));
    await sweep();
    await untilHeard(4);
  });

  it('of alerts and failed readings comes at once and once, even with a daily digest', async () => {
    const vehicleId = await newVehicle('A-1');
    await newTarget({ digest: 'daily' });
    await topUpTwice(vehicleId);
    const [alert] = await untilHeard(1);
    expect(alert).toMatchObject({
      type: 'loss-alert.raised',
      data: { kind: 'repeat-top-ups', status: 'raised', vehicle: { id: vehicleId, unitNumber: 'A-1' } },
    });
    const failed = await postFailedTest(vehicleId, '2026-04-02T12:00:00Z');
    expect([failed.status, failed.body.evaluation.verdict]).toEqual([201, 'fail']);
    // The retest that it calls for is due at once, so no digest delays it.
    const heard = await untilHeard(3);
    expect(types().sort()).toEqual(['due-line.due', 'failed-reading', 'loss-alert.raised']);
    expect(heard.find(({ type }) => type === 'failed-reading')).toMatchObject({
      data: {
        id: failed.body.id,
        kind: 'hold-test',
        vehicle: { id: vehicleId },
        evaluation: { verdict: 'fail' },
      },
    });
    await sweep();
    await untilIdle();
    expect(
      types()
        .slice(3)
        .every((type) => type === 'digest'),
    ).toBe(true);
    const told = (await reminders()).filter(({ news }) => news !== 'due-line' && news !== 'digest');
    expect(told).toEqual([
      expect.objectContaining({ news: 'failed-reading', readingId: failed.body.id, status: 'sent' }),
      expect.objectContaining({ news: 'loss-alert', lossAlertId: alert.data.id, status: 'sent' }),
    ]);
  });

  it('of alerts keeps to the target’s hours, and is withdrawn if somebody acknowledges it first', async () => {
    const vehicleId = await newVehicle('A-2');
    service.clock.moveTo(at('2026-04-02', 21));
    await newTarget({ hears: ['loss-alert'], sendBetween: { from: '06:00', to: '20:00' } });
    await topUpTwice(vehicleId);
    await untilIdle();
    const [waiting] = await reminders();
    expect(waiting).toMatchObject({ status: 'waiting', nextAttemptAt: at('2026-04-03', 6) });
    const acknowledged = await fleet.mechanic.post(`/v1/loss-alerts/${waiting.lossAlertId}/acknowledge`);
    expect(acknowledged.status).toBe(200);
    service.clock.moveTo(at('2026-04-03', 6));
    await takeUp();
    await until(async () => (await reminders('&status=withdrawn')).length === 1);
    await untilHeard(0);
  });

  it('of an alert comes again when its shelving has ended', async () => {
    const vehicleId = await newVehicle('A-3');
    await newTarget({ hears: ['loss-alert'] });
    await topUpTwice(vehicleId);
    const [alert] = await untilHeard(1);
    const shelved = await fleet.mechanic.post(`/v1/loss-alerts/${alert.data.id}/shelve`, {
      until: '2026-04-05T12:00:00Z',
    });
    expect(shelved.status).toBe(200);
    service.clock.moveTo(at('2026-04-04', 6));
    await sweep();
    await untilHeard(1);
    service.clock.moveTo(at('2026-04-06', 6));
    await sweep();
    await sweep();
    await untilHeard(2);
    expect(types()).toEqual(['loss-alert.raised', 'loss-alert.raised']);
  });

  it('of an alert comes again when its shelving has ended, whatever was posted in between', async () => {
    const vehicleId = await newVehicle('A-4');
    await newTarget({ hears: ['loss-alert'] });
    await topUpTwice(vehicleId);
    const [alert] = await untilHeard(1);
    await fleet.mechanic.post(`/v1/loss-alerts/${alert.data.id}/shelve`, { until: '2026-04-05T12:00:00Z' });
    // Concluded from anew after the shelving has ended and before the morning.
    service.clock.moveTo(at('2026-04-05', 15));
    const posted = await fleet.mechanic.post(`/v1/vehicles/${vehicleId}/readings`, {
      ...{ kind: 'level-check', takenAt: '2026-04-05T20:00:00Z', engineCold: true },
      belowMark: { value: 0, unit: 'L' },
    });
    expect(posted.status).toBe(201);
    await untilHeard(2);
    service.clock.moveTo(at('2026-04-06', 6));
    await sweep();
    await untilIdle();
    expect(types()).toEqual(['loss-alert.raised', 'loss-alert.raised']);
  });

  it('of held readings comes by itself, or as one message if a batch holds many', async () => {
    const [one, many] = [await newVehicle('H-1'), await newVehicle('H-2')];
    await newTarget({ hears: ['held-reading'] });
    await newTarget({ hears: ['due-line'] });
    await postHeld(one, 2);
    await untilHeard(2);
    expect(receiver.received[0]?.body).toMatchObject({
      type: 'held-reading',
      data: { status: 'held', vehicle: { unitNumber: 'H-1' }, odometer: { unit: 'mi' } },
    });
    await postHeld(many, 12);
    const heard = await untilHeard(3);
    expect(heard[2]).toMatchObject({
      type: 'digest',
      data: { reason: 'held', counts: { 'held-reading': 12 } },
    });
  });

  it('can be filtered by depot, duty, plan and vehicle, for every kind of news', async () => {
    const plan = await fleet.manager.post('/v1/interval-plans', {
      name: 'Yearly',
      intervals: [{ component: 'coolant', action: 'inspect', everyMonths: 12 }],
    });
    const depot = await fleet.manager.post('/v1/depots', { name: 'North' });
    const vehicleId = await newVehicle('F-1', {
      ...{ duty: 'severe', intervalPlanId: plan.body.id, depotId: depot.body.id, inServiceOn: '2026-04-01' },
    });
    const other = await newVehicle('F-2');
    const heardBy = async (filter: object): Promise<string> => (await newTarget(filter)).id;
    const hears = { hears: ['failed-reading'] };
    const expected = [
      await heardBy({ ...hears, duties: ['severe'] }),
      await heardBy({ ...hears, intervalPlanIds: [plan.body.id] }),
      await heardBy({ ...hears, vehicleIds: [vehicleId.toUpperCase()] }),
      await heardBy({ ...hears, depotIds: [depot.body.id], duties: ['severe', 'normal'] }),
    ];
    await heardBy({ ...hears, duties: ['normal'], vehicleIds: [vehicleId] });
    await heardBy({ ...hears, vehicleIds: [other] });
    expect((await postFailedTest(vehicleId, '2026-04-02T12:00:00Z')).status).toBe(201);
    await untilHeard(4);
    expect((await reminders()).map(({ targetId }) => targetId).sort()).toEqual(expected.sort());
    // Due lines as well: a line of the vehicle that only its own filters let through.
    const byVehicle = await heardBy({ hears: ['due-line'], vehicleIds: [vehicleId] });
    const bySevere = await heardBy({ hears: ['due-line'], duties: ['severe'] });
    await heardBy({ hears: ['due-line'], vehicleIds: [other] });
    const { rows } = await service.database.admin.query(
      `update due_lines set window_opens_on = '2026-04-01', due_on = '2026-04-10', late_on = '2026-05-01'
       where vehicle_id = $1 and origin = 'interval' returning id`,
      [vehicleId],
    );
    await service.database.admin.query('update fleets set greatest_lead_days = 60 where id = $1', [
      fleet.fleetId,
    ]);
    await sweep();
    await untilIdle();
    const lines = (await reminders()).filter(
      ({ dueLineId, status }) => dueLineId === rows[0].id && status === 'sent',
    );
    expect(lines.map(({ targetId }) => targetId).sort()).toEqual([byVehicle, bySevere].sort());
  });

  it('is signed with both secrets during a rotation', async () => {
    const target = await newTarget();
    const path = `/v1/reminder-targets/${target.id}`;
    const rotated = await fleet.manager.post(`${path}/rotate-secret`, { overlapHours: 2 });
    expect(rotated.body).toEqual({
      secret: expect.stringMatching(/^whsec_/),
      previousSecretUntil: at('2026-04-02', 12),
    });
    expect(rotated.body.secret).not.toBe(target.secret);
    expect(JSON.stringify((await fleet.manager.get(path)).body)).not.toContain('whsec_');
    const isGood = (secret: string): boolean => {
      const { text, headers } = receiver.received.at(-1) ?? { text: '', headers: {} };
      try {
        return Boolean(new Webhook(secret).verify(text, headers as Record<string, string>));
      } catch {
        return false;
      }
    };
    await fleet.manager.post(`${path}/test`);
    expect([isGood(target.secret), isGood(rotated.body.secret)]).toEqual([true, true]);
    expect(receiver.received[0]?.headers['webhook-signature']).toMatch(/^v1,\S+ v1,\S+$/);
    service.clock.moveTo(at('2026-04-02', 12));
    await fleet.manager.post(`${path}/test`);
    expect([isGood(target.secret), isGood(rotated.body.secret)]).toEqual([false, true]);
    // The same request again shows no secret, and makes none.
    const headers = { 'idempotency-key': 'rotate-1' };
    const once = await fleet.manager.post(`${path}/rotate-secret`, {}, headers);
    const twice = await fleet.manager.post(`${path}/rotate-secret`, {}, headers);
    expect(twice.body).toEqual({ ...once.body, secret: null });
    await fleet.manager.post(`${path}/test`);
    expect(isGood(once.body.secret)).toBe(true);
    const { rows } = await service.database.admin.query('select body::text from idempotency_records');
    expect(JSON.stringify(rows)).not.toContain('whsec_');
  });

  it('leaves nothing to sweep if the fleet has no target', async () => {
    const line = await seed();
    await sweepVehicles(service, fleet.fleetId, [line.vehicleId]);
    const { rows } = await service.database.admin.query('select from sweep_requests');
    expect(rows).toEqual([]);
    expect(await reminders()).toEqual([]);
  });

  it('is counted for operators: by outcome, with duration and the age of the oldest', async () => {
    await newTarget();
    await seed();
    service.clock.moveTo(at('2026-04-06'));
    receiver.answer = (reply) => reply.writeHead(503).end();
    await sweep();
    await receiver.untilReceived(1);
    await untilIdle();
    const metric = async (name: string): Promise<number> => {
      const { body } = await service.operator().get<string>('/metrics');
      return Number(
        body
          .split('\n')
          .find((line) => line.startsWith(`${name} `))
          ?.split(' ')
          .at(-1) ?? NaN,
      );
    };
    const sent = 'weephole_reminders_total{kind="webhook",news="due-line",outcome="sent"}';
    const before = (await metric(sent)) || 0;
    service.clock.moveTo(new Date(service.clock.now().getTime() + 600_000));
    expect(await metric('weephole_reminders_oldest_unsent_seconds')).toBeGreaterThanOrEqual(600);
    receiver.answer = (reply) => reply.writeHead(204).end();
    const slow = 'weephole_reminder_delivery_seconds_bucket{le="1800",kind="webhook"}';
    const fast = 'weephole_reminder_delivery_seconds_bucket{le="300",kind="webhook"}';
    const [slowBefore, fastBefore] = [(await metric(slow)) || 0, (await metric(fast)) || 0];
    await takeUp();
    await receiver.untilReceived(2);
    await until(async () => (await metric(sent)) === before + 1);
    expect([(await metric(slow)) - slowBefore, (await metric(fast)) - fastBefore]).toEqual([1, 0]);
    expect(
      await metric('weephole_reminder_attempt_seconds_count{kind="webhook",outcome="failed"}'),
    ).toBeGreaterThan(0);
  });
});
