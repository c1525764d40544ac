import type { INestApplicationContext } from '@nestjs/common';
import { buildWorker } from '../../../src/bootstrap.worker.js';
import { FleetSchedule } from '../../../src/telling/reminders/sweep/fleet-schedule.js';
import { SweepService } from '../../../src/telling/reminders/sweep/sweep.service.js';
import { TroubleWatch } from '../../../src/telling/reminders/across-fleets/trouble-watch.service.js';
import { seedDueLine } from '../../support/due-lines.js';
import { type MailServer, startMailServer } from '../../support/mail-server.js';
import { untilWorkerIsIdle } from '../../support/idle.js';
import { type Receiver, startReceiver, until } from '../../support/receiver.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';
import { inText } from '../../support/told.js';

const AT = '2026-04-06T16:00:00Z';
const DATES = { windowOpensOn: '2026-04-03', dueOn: '2026-04-06', lateOn: '2026-04-09' };

describe('delivery trouble', () => {
  let service: Service;
  let mail: MailServer;
  let fleet: FleetHandle;
  let gone: Receiver;
  let other: Receiver;

  beforeAll(async () => {
    mail = await startMailServer();
    service = await startService({
      withWorker: true,
      at: AT,
      env: { SMTP_URL: mail.url, MAIL_FROM: 'fleet@example.org', SEND_RETRY_SECONDS: '10' },
    });
    await service.app.get(FleetSchedule).beforeApplicationShutdown();
  });
  afterAll(async () => {
    await service.stop();
    await mail.close();
  });
  beforeEach(async () => {
    service.clock.moveTo(AT);
    Object.assign(mail, { refuseRecipient: null, refuseMessage: null });
    mail.received.length = 0;
    [gone, other] = [await startReceiver(), await startReceiver()];
    fleet = await service.newFleet();
    await service.database.admin.query(
      `insert into workers (id, seen_at) values (gen_random_uuid(), now() + interval '1 hour')`,
    );
  });
  afterEach(async () => {
    await gone.close();
    await other.close();
  });

  const sweep = (): Promise<void> => service.app.get(SweepService).sweepFleet(fleet.fleetId);
  const takeUp = (): Promise<void> => service.app.get(FleetSchedule).takeUpLostWork();
  const look = (): Promise<void> => service.app.get(TroubleWatch).look();
  const tellFleet = (): Promise<void> => service.app.get(TroubleWatch).tellFleet(fleet.fleetId);
  const seed = () => seedDueLine(service, fleet.fleetId, DATES);
  const later = (seconds: number): void =>
    service.clock.moveTo(new Date(service.clock.now().getTime() + seconds * 1000));

  async function newTarget(extra: object): Promise<any> {
    const { status, body } = await fleet.manager.post('/v1/reminder-targets', { kind: 'webhook', ...extra });
    expect([status, inText(body.errors)]).toEqual([201, undefined]);
    return body;
  }

  const untilIdle = (): Promise<void> => untilWorkerIsIdle(service);

  const troubles = async (): Promise<any[]> =>
    (await fleet.manager.get('/v1/due-list/summary')).body.deliveryTroubles;
  const notices = ({ received }: Receiver): any[] =>
    received.map(({ body }) => body).filter(({ type }) => type === 'delivery-trouble');

  it('from a 410 answer is reported to another target at once, once, and not to its own', async () => {
    const target = await newTarget({ address: gone.url });
    const told = await newTarget({ address: other.url, hears: ['delivery-trouble', 'failed-reading'] });
    await newTarget({ address: other.url, hears: ['loss-alert'] });
    expect(target.hears).toContain('delivery-trouble');
    gone.answer = (reply) => reply.writeHead(410).end();
    later(60);
    for (let n = 0; n < 3; n++) await seed();
    await sweep();
    await until(() => notices(other).length >= 2);
    await untilIdle();
    const [first, second] = notices(other).sort((a, b) => (a.data.kind < b.data.kind ? 1 : -1));
    const origin = new URL(gone.url).origin;
    expect(first).toEqual({
      type: 'delivery-trouble',
      timestamp: '2026-04-06T16:01:00.000Z',
      ...{ language: 'en', timeZone: 'America/Denver' },
      data: {
        kind: 'target-disabled',
        since: '2026-04-06T16:01:00.000Z',
        message: {
          code: 'trouble-target-disabled',
          values: { place: origin, at: '2026-04-06T16:01:00.000Z' },
          text: `${origin} answered 410 Gone, so nothing has been sent to it since April 6, 2026 at 10:01 AM. Fix the receiver and enable the target again, or remove it.`,
        },
        reminderTarget: { id: target.id, kind: 'webhook', address: origin },
      },
    });
    // It was the only one that heard of due lines.
    expect(second?.data).toMatchObject({ kind: 'nobody-hears', reminderTarget: null });
    expect(notices(gone)).toEqual([]);
    expect(await troubles()).toEqual([
      { ...second?.data, reminderTarget: null },
      { ...first?.data, reminderTarget: { id: target.id, kind: 'webhook', address: gone.url } },
    ]);
    const { items } = (await fleet.manager.get(`/v1/reminders?targetId=${told.id}`)).body;
    expect(items.map((each: any) => [each.news, each.troubledTargetId, each.status]).sort()).toEqual([
      ['delivery-trouble', null, 'sent'],
      ['delivery-trouble', target.id, 'sent'],
    ]);

    await tellFleet();
    await sweep();
    await untilIdle();
    expect(notices(other)).toHaveLength(2);

    // Put right, and gone once more: that is another occasion.
    await fleet.manager.patch(`/v1/reminder-targets/${target.id}`, { enabled: true });
    expect(await troubles()).toEqual([]);
    later(60);
    await seed();
    await sweep();
    await until(() => notices(other).filter(({ data }) => data.kind === 'target-disabled').length === 2);
  });

  it('that ended before its notice was sent is not reported', async () => {
    const target = await newTarget({ address: gone.url });
    const hours = { from: '12:00', to: '20:00' };
    await newTarget({ address: other.url, hears: ['delivery-trouble'], sendBetween: hours });
    gone.answer = (reply) => reply.writeHead(410).end();
    await seed();
    await sweep();
    const waiting = async (): Promise<any[]> =>
      (await fleet.manager.get('/v1/reminders?status=waiting')).body.items.filter(
        ({ news }: any) => news === 'delivery-trouble',
      );
    await until(async () => (await waiting()).length === 2);
    // Nobody removes a target by mistake: what it did is no trouble any more.
    await fleet.manager.delete(`/v1/reminder-targets/${target.id}`);
    await newTarget({ address: other.url, hears: ['due-line'] });
    service.clock.moveTo('2026-04-06T18:00:00Z');
    await takeUp();
    await until(async () => (await waiting()).length === 0);
    expect(notices(other)).toEqual([]);
  });

  it('from bouncing mail lasts until a message gets through, and is reported each time it begins', async () => {
    const target = await newTarget({ kind: 'email', address: 'shop@example.com' });
    await newTarget({ address: other.url });
    mail.refuseRecipient = '550 no such user here';
    await seed();
    await seed();
    await sweep();
    await until(() => notices(other).length >= 1);
    await untilIdle();
    expect(notices(other)).toHaveLength(1);
    const failing = {
      kind: 'target-failing',
      since: '2026-04-06T16:00:00.000Z',
      message: {
        code: 'trouble-target-failing',
        values: {
          ...{ place: 'shop@example.com', at: '2026-04-06T16:00:00.000Z', check: 'address' },
          reason: {
            code: 'target-mail-server-answered',
            values: { status: '550' },
            text: 'the mail server answered 550',
          },
        },
        text: 'Reminders have not reached shop@example.com since April 6, 2026 at 10:00 AM: the mail server answered 550. Check the address, then send the target a test message.',
      },
      reminderTarget: { id: target.id, kind: 'email', address: 'shop@example.com' },
    };
    // Managers see the address; whoever else is told sees whose it is, and no more.
    expect(await troubles()).toEqual([failing]);
    const told = JSON.parse(JSON.stringify(failing).replaceAll('shop@example.com', 's…@example.com'));
    expect(notices(other)[0]?.data).toEqual(told);
    const path = `/v1/reminder-targets/${target.id}`;
    expect((await fleet.manager.get(path)).body).toMatchObject({
      ...{
        enabled: true,
        failingSince: failing.since,
        failingReason: { text: 'the mail server answered 550' },
      },
    });
    // A change of something else does not put it right, and a test that fails does not either.
    await fleet.manager.patch(path, { stages: ['due', 'late'] });
    await fleet.manager.post(`${path}/test`);
    expect(await troubles()).toEqual([failing]);

    mail.refuseRecipient = null;
    await seed();
    await sweep();
    await until(async () => (await troubles()).length === 0);
    expect((await fleet.manager.get(path)).body).toMatchObject({ failingSince: null, failingReason: null });

    later(60);
    mail.refuseMessage = '554 refused as unwanted';
    await seed();
    await sweep();
    await until(() => notices(other).length >= 2);
    expect(await troubles()).toMatchObject([{ kind: 'target-failing', since: '2026-04-06T16:01:00.000Z' }]);
    mail.refuseMessage = null;
    expect((await fleet.manager.post(`${path}/test`)).body.delivered).toBe(true);
    expect(await troubles()).toEqual([]);
  });

  it('from a webhook that was given up lasts until its address changes', async () => {
    const target = await newTarget({ address: gone.url });
    await newTarget({ kind: 'email', address: 'shop@example.com' });
    gone.answer = (reply) => reply.writeHead(500).end();
    await seed();
    await sweep();
    await gone.untilReceived(1);
    await untilIdle();
    expect(await troubles()).toEqual([]);
    later(20);
    await takeUp();
    await until(async () => (await troubles()).length === 1);
    const origin = new URL(gone.url).origin;
    expect(await troubles()).toMatchObject([
      {
        kind: 'target-failing',
        message: { text: expect.stringContaining('the receiver answered 500. Check the receiver') },
      },
    ]);
    await until(() =>
      mail.received.some(({ parsed }) => parsed.subject === `Reminders are not reaching ${origin}`),
    );
    const notice = mail.received.find(({ parsed }) =>
      parsed.subject?.startsWith('Reminders are not reaching'),
    );
    expect(notice?.parsed.text).toContain(`Reminders have not reached ${origin} since`);
    await fleet.manager.patch(`/v1/reminder-targets/${target.id}`, { address: other.url });
    expect(await troubles()).toEqual([]);
  });

  it('from late work is reported once a day', async () => {
    await newTarget({ address: other.url });
    const { vehicleId } = await seed();
    const { admin } = service.database;
    const stand = (minutes: number): Promise<unknown> =>
      admin.query(
        `insert into sweep_requests (fleet_id, vehicle_id, requested_at) values ($1, $2, now() - make_interval(mins => $3))`,
        [fleet.fleetId, vehicleId, minutes],
      );
    await stand(4);
    await look();
    expect(await troubles()).toEqual([]);
    await stand(6);
    expect(await troubles()).toMatchObject([
      {
        kind: 'sweep-behind',
        message: { text: expect.stringContaining('have not been checked for reminders yet') },
      },
    ]);
    await look();
    await stand(7);
    await look();
    await until(() => notices(other).length >= 1);
    await untilIdle();
    expect(notices(other).map(({ data }) => data.kind)).toEqual(['sweep-behind']);
    service.clock.moveDays(1);
    await look();
    await until(() => notices(other).length === 2);
    await admin.query('delete from sweep_requests where fleet_id = $1', [fleet.fleetId]);
  });

  it('from waiting reminders is shown, but not while they wait for their hours', async () => {
    await newTarget({ address: other.url, sendBetween: { from: '14:00', to: '20:00' } });
    await seed();
    await sweep();
    later(600);
    expect(await troubles()).toEqual([]);
    await service.database.admin.query('update reminders set next_attempt_at = $2 where fleet_id = $1', [
      fleet.fleetId,
      new Date(Date.parse(AT)),
    ]);
    expect(await troubles()).toMatchObject([{ kind: 'reminders-behind', since: '2026-04-06T16:00:00.000Z' }]);
  });

  it('is counted for operators, over all fleets', async () => {
    const figures = async (): Promise<number[]> => {
      const { body } = await service.operator().get<string>('/metrics');
      return [
        'weephole_fleets_without_live_target',
        'weephole_reminder_targets_disabled_by_receiver',
        'weephole_reminder_targets_failing',
        'weephole_sweep_requests_oldest_seconds',
      ].map((name) => Number(new RegExp(`^${name} (\\S+)$`, 'm').exec(body)?.[1]));
    };
    const before = await figures();
    const target = await newTarget({ address: gone.url });
    const heard = await figures();
    expect(heard[0]).toBe((before[0] ?? NaN) - 1);
    const { admin } = service.database;
    await admin.query(`update reminder_targets set failing_since = now() where id = $1`, [target.id]);
    const { vehicleId } = await seed();
    await admin.query(
      `insert into sweep_requests (fleet_id, vehicle_id, requested_at) values ($1, $2, now() - interval '1 hour')`,
      [fleet.fleetId, vehicleId],
    );
    const failing = await figures();
    expect([failing[0], failing[1], failing[2]]).toEqual([heard[0], heard[1], (heard[2] ?? NaN) + 1]);
    expect(failing[3]).toBeGreaterThanOrEqual(3600);
    await admin.query('delete from sweep_requests where fleet_id = $1', [fleet.fleetId]);
    gone.answer = (reply) => reply.writeHead(410).end();
    await sweep();
    await until(async () => (await figures())[1] === (heard[1] ?? NaN) + 1);
    const after = await figures();
    expect([after[0], after[2]]).toEqual([before[0], heard[2]]);
  });
});

describe('a time without a worker', () => {
  it('is reported to every fleet by the next worker, if it was longer than an hour', async () => {
    const service = await startService({ at: AT, isAlone: true });
    const [one, two] = [await startReceiver(), await startReceiver()];
    try {
      for (const receiver of [one, two]) {
        const { manager } = await service.newFleet();
        await manager.post('/v1/reminder-targets', { kind: 'webhook', address: receiver.url });
      }
      const seen = async (ago: string): Promise<Date> => {
        const { rows } = await service.database.admin.query(
          `insert into workers (id, seen_at) values (gen_random_uuid(), now() - $1::interval) returning seen_at`,
          [ago],
        );
        return rows[0].seen_at;
      };
      const run = async (work: (worker: INestApplicationContext) => Promise<void>): Promise<void> => {
        const worker = await buildWorker(service.config, { clock: service.clock });
        await work(worker).finally(() => worker.close());
      };
      /** Until it has recorded what it found at its start. */
      const looked = (worker: INestApplicationContext): Promise<void> => worker.get(TroubleWatch)['running'];
      const since = await seen('61 minutes');
      await run(async () => {
        await Promise.all([one.untilReceived(1), two.untilReceived(1)]);
      });
      for (const { received } of [one, two])
        expect(received.map(({ body }) => [body.type, body.data])).toEqual([
          [
            'delivery-trouble',
            {
              kind: 'no-worker',
              since: since.toISOString(),
              message: {
                code: 'trouble-no-worker-then',
                values: { from: since.toISOString(), to: expect.any(String) },
                text: expect.stringMatching(
                  /^No worker of the service ran from .* to .*, so reminders from that time are late\.$/,
                ),
              },
              reminderTarget: null,
            },
          ],
        ]);
      // Another start finds the same absence, and one that follows a short absence finds none.
      await run(looked);
      await seen('59 minutes');
      await run(looked);
      const { rows } = await service.database.admin.query(
        `select count(*)::int as n from reminders where news = 'delivery-trouble'`,
      );
      expect(rows).toEqual([{ n: 2 }]);
      expect([one.received.length, two.received.length]).toEqual([1, 1]);
    } finally {
      await Promise.all([one.close(), two.close(), service.stop()]);
    }
  }, 240_000);
});
