import { v7 as uuidv7 } from 'uuid';
import { WorkQueue } from '../../../src/platform/queue/work-queue.js';
import { dailyPattern, secondsAfterHour } from '../../../src/telling/reminders/sweep/morning-spread.js';
import { MADE_UP_AT_A_TIME } from '../../../src/telling/reminders/sweep/missed-routines.js';
import { SweepService } from '../../../src/telling/reminders/sweep/sweep.service.js';
import { WakeUps } from '../../../src/conclusions/outbox/wake-ups.js';
import { FleetSchedule } from '../../../src/telling/reminders/sweep/fleet-schedule.js';
import { seedDueLine } from '../../support/due-lines.js';
import { startReceiver, until } from '../../support/receiver.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';
import { askForSweep } from '../../support/sweep-requests.js';

const MORE_THAN_AT_A_TIME = MADE_UP_AT_A_TIME + 30;

describe('the mornings of many fleets', () => {
  let service: Service;
  /** What the worker has begun, in order: ids of fleets, and `post` for the sweep after a post. */
  let begun: string[];
  let letGo: () => void;

  beforeAll(async () => {
    service = await startService({
      withWorker: true,
      at: '2026-04-01T15:00:00Z',
      env: { QUEUE_CONCURRENCY: '1' },
    });
    await service.app.get(FleetSchedule).beforeApplicationShutdown();
  });
  beforeEach(() => {
    begun = [];
    letGo = () => undefined;
  });
  afterEach(async () => {
    letGo();
    await untilIdle();
    jest.restoreAllMocks();
    await service.database.admin.query(
      `insert into fleet_sweeps (fleet_id, swept_on, cohorts_on) select id, '9999-01-01', '9999-01-01' from fleets
       on conflict (fleet_id) do update set swept_on = '9999-01-01', cohorts_on = '9999-01-01'`,
    );
  });
  afterAll(() => service.stop());

  const schedule = (): FleetSchedule => service.app.get(FleetSchedule);
  const queue = () => service.app.get(WorkQueue).queue('work');
  const untilIdle = (): Promise<void> =>
    until(async () => (await queue().getJobCountByTypes('waiting', 'active', 'prioritized')) === 0, 30_000);

  /** Fleets in Denver whose nights are over. */
  async function addFleets(count: number): Promise<string[]> {
    const ids = Array.from({ length: count }, () => uuidv7());
    await service.database.admin.query(
      `insert into fleets (id, name, time_zone, units) select id, 'Fleet ' || n, 'America/Denver', 'us'
       from unnest($1::uuid[]) with ordinality as f(id, n)`,
      [ids],
    );
    await service.database.admin.query(
      `insert into fleet_sweeps (fleet_id, cohorts_on) select unnest($1::uuid[]), '9999-01-01'`,
      [ids],
    );
    return ids;
  }
  async function sweptOn(ids: string[]): Promise<(string | null)[]> {
    const { rows } = await service.database.admin.query<{ on: string | null }>(
      'select swept_on::text as on from fleet_sweeps where fleet_id = any($1)',
      [ids],
    );
    return rows.map(({ on }) => on);
  }

  /** Notes what the worker begins; the first stays under way until it is let go. */
  function watchWorker({ holdsFirst }: { holdsFirst: boolean }): void {
    const sweeps = service.app.get(SweepService);
    const [fleet, vehicles] = [sweeps.sweepFleet.bind(sweeps), sweeps.sweepRequested.bind(sweeps)];
    const held = holdsFirst ? new Promise<void>((resolve) => (letGo = resolve)) : Promise.resolve();
    jest.spyOn(sweeps, 'sweepFleet').mockImplementation(async (fleetId) => {
      begun.push(fleetId);
      await held;
      return fleet(fleetId);
    });
    jest.spyOn(sweeps, 'sweepRequested').mockImplementation(async (fleetId) => {
      begun.push('post');
      return vehicles(fleetId);
    });
  }

  it('are made up for in batches if all were missed, each once, and a post’s sweep goes first', async () => {
    const ids = await addFleets(MORE_THAN_AT_A_TIME);
    const fleet = await service.newFleet();
    const receiver = await startReceiver();
    const target = { kind: 'webhook', address: receiver.url };
    expect((await fleet.manager.post('/v1/reminder-targets', target)).status).toBe(201);
    await service.app.get(WakeUps).untilSent();
    await untilIdle();
    watchWorker({ holdsFirst: true });
    // 08:00 in Denver: the worker was away at six.
    service.clock.moveTo('2026-04-02T14:00:00Z');
    await schedule().takeUpLostWork();
    await until(() => begun.length === 1);
    const queued = (): Promise<number> => queue().getJobCountByTypes('waiting', 'active', 'prioritized');
    expect(await queued()).toBe(MADE_UP_AT_A_TIME);
    // One is under way, so there is room for one more, and then for none.
    await schedule().takeUpLostWork();
    await schedule().takeUpLostWork();
    expect(await queued()).toBeLessThanOrEqual(MADE_UP_AT_A_TIME + 1);

    const { vehicleId } = await seedDueLine(service, fleet.fleetId, {
      windowOpensOn: '2026-04-02',
      dueOn: '2026-04-20',
      lateOn: '2026-04-30',
    });
    await askForSweep(service, fleet.fleetId, [vehicleId]);
    service.app.get(WakeUps).wake(fleet.fleetId);
    await service.app.get(WakeUps).untilSent();
    letGo();
    await until(() => begun.length > 1);
    expect(begun[1]).toBe('post');

    await untilIdle();
    await schedule().takeUpLostWork();
    await untilIdle();
    expect(new Set(await sweptOn(ids))).toEqual(new Set(['2026-04-02']));
    const mornings = begun.filter((each) => each !== 'post');
    expect([mornings.length, new Set(mornings).size]).toEqual([
      MORE_THAN_AT_A_TIME + 1,
      MORE_THAN_AT_A_TIME + 1,
    ]);
    await receiver.untilReceived(1);
    await receiver.close();
  }, 240_000);

  it('are made up for as their seconds pass, and not all at six', async () => {
    const ids = await addFleets(40);
    watchWorker({ holdsFirst: false });
    const six = Date.parse('2026-04-03T12:00:00Z');
    for (const minutes of [0, 5, 17, 31]) {
      service.clock.moveTo(new Date(six + 60_000 * minutes));
      await schedule().takeUpLostWork();
      await untilIdle();
      // The queue's own schedule has a minute to do it.
      const passed = ids.filter((id) => secondsAfterHour(id) <= 60 * (minutes - 1));
      expect([minutes, begun.toSorted()]).toEqual([minutes, passed.toSorted()]);
    }
    expect(begun).toHaveLength(40);
  }, 240_000);

  it('are done once a day, whoever queued them, and whatever zone the fleet moves to', async () => {
    const [id] = (await addFleets(1)) as [string];
    watchWorker({ holdsFirst: false });
    await schedule().scheduleMornings();
    const morning = (await queue().getJobSchedulers(0, -1)).find(({ key }) => key === `morning_${id}`);
    const fire = async (): Promise<void> => {
      await queue().add('sweep-fleet', morning?.template?.data ?? {}, morning?.template?.opts ?? {});
      await untilIdle();
    };
    service.clock.moveTo('2026-04-04T14:00:00Z');
    await fire();
    await schedule().takeUpLostWork();
    await fire();
    expect(begun).toEqual([id]);
    // In Honolulu it is still the same day, and not six yet.
    await service.database.admin.query(`update fleets set time_zone = 'Pacific/Honolulu' where id = $1`, [
      id,
    ]);
    service.clock.moveTo('2026-04-04T17:00:00Z');
    await fire();
    expect(begun).toEqual([id]);
    // In Auckland, on standard time since that night, it is seven in the morning of the next day.
    await service.database.admin.query(`update fleets set time_zone = 'Pacific/Auckland' where id = $1`, [
      id,
    ]);
    service.clock.moveTo('2026-04-04T19:00:00Z');
    await schedule().takeUpLostWork();
    await untilIdle();
    expect([begun, await sweptOn([id])]).toEqual([[id, id], ['2026-04-05']]);
    await fire();
    expect(begun).toHaveLength(2);
    service.clock.moveTo('2026-04-05T20:00:00Z');
    await fire();
    expect([begun, await sweptOn([id])]).toEqual([[id, id, id], ['2026-04-06']]);
  }, 240_000);

  it('are in the queue’s schedule at their own seconds, after what posts ask for, even if scheduled otherwise before', async () => {
    const [id] = (await addFleets(1)) as [string];
    const opts = { removeOnComplete: true, removeOnFail: true };
    const template = { name: 'sweep-fleet', data: { fleetId: id }, opts };
    await queue().upsertJobScheduler(
      `morning_${id}`,
      { pattern: '0 6 * * *', tz: 'America/Denver' },
      template,
    );
    await schedule().scheduleMornings();
    const own = (await queue().getJobSchedulers(0, -1)).filter(({ key }) => key.endsWith(id));
    const found = Object.fromEntries(
      own.map(({ key, pattern, template: made }) => [key.split('_')[0], [pattern, made?.opts?.priority]]),
    );
    const minute = expect.stringMatching(/^\d+ (\*|3) \* \* \*$/);
    expect(found).toEqual({
      morning: [dailyPattern(id, 6), 10],
      night: [dailyPattern(id, 4), 20],
      events: [minute, 30],
      idempotency: [minute, 30],
      retention: [minute, 30],
    });
  });

  it('bring a daily digest the same morning to a target whose hours begin at six', async () => {
    const receiver = await startReceiver();
    const fleet: FleetHandle = await service.newFleet();
    service.clock.moveTo('2026-04-06T20:00:00Z');
    const target = { kind: 'webhook', address: receiver.url, digest: 'daily' };
    const hours = { sendBetween: { from: '06:00', to: '09:00' } };
    expect((await fleet.manager.post('/v1/reminder-targets', { ...target, ...hours })).status).toBe(201);
    await seedDueLine(service, fleet.fleetId, {
      windowOpensOn: '2026-04-07',
      dueOn: '2026-04-20',
      lateOn: '2026-04-30',
    });
    service.clock.moveTo(
      new Date(Date.parse('2026-04-07T12:01:00Z') + 1000 * secondsAfterHour(fleet.fleetId)),
    );
    await schedule().takeUpLostWork();
    const [digest] = await receiver.untilReceived(1);
    expect(digest?.body).toMatchObject({ type: 'digest', data: { reason: 'daily', counts: { window: 1 } } });
    await receiver.close();
  }, 240_000);
});
