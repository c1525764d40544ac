import { v7 as uuidv7 } from 'uuid';
import { zoneAtNoon } from '../../support/clock.js';
import { seedDueLine } from '../../support/due-lines.js';
import { type OwnPostgres, startOwnPostgres } from '../../support/own-postgres.js';
import { type ServiceProcess, startProcess } from '../../support/processes.js';
import { type Receiver, startReceiver, until } from '../../support/receiver.js';
import { startOwnRedis } from '../../support/redis-server.mjs';
import { type FleetHandle, insertFleet, type Service } from '../../support/service.js';
import pg from 'pg';

/** Which queue backend this Jest project runs on. */
declare const QUEUE: 'postgres' | 'redis';

describe('a worker', () => {
  let postgres: OwnPostgres;
  let redis: Awaited<ReturnType<typeof startOwnRedis>> | null = null;
  let receiver: Receiver;
  let admin: pg.Client;
  let fleet: FleetHandle;
  const started: ServiceProcess[] = [];

  beforeAll(async () => {
    postgres = await startOwnPostgres();
    if (QUEUE === 'redis') redis = await startOwnRedis();
    receiver = await startReceiver();
    admin = new pg.Client({ connectionString: postgres.url });
    await admin.connect();
    const api = startProcess('src/main.api.js', { ...env(), PORT: '0' });
    started.push(api);
    await api.untilSays('listens on ');
    const url = /listens on (\S+)/.exec(api.log())?.[1] ?? '';
    fleet = await insertFleet(admin, url, { timeZone: zoneAtNoon() });
  }, 240_000);
  afterAll(async () => {
    await admin.end();
    await Promise.all(started.filter((each) => !each.hasEnded()).map((each) => each.end('SIGKILL')));
    await receiver.close();
    await redis?.stop();
    await postgres.remove();
  }, 240_000);

  const env = (): Record<string, string> => ({
    ...{ DATABASE_URL: postgres.url, QUEUE_URL: redis?.url ?? '', LOG_LEVEL: 'warn' },
    WEEPHOLE_ALLOW_LOCAL_WEBHOOKS: 'true',
    // The leases of an attempt and of a job both last six minutes: neither comes to the rescue.
    ...{ SEND_TIMEOUT_SECONDS: '60', QUEUE_LOCK_SECONDS: '360', QUEUE_CHECK_SECONDS: '300' },
  });

  async function startWorker(): Promise<ServiceProcess> {
    const before = await workers();
    const worker = startProcess('src/main.worker.js', env());
    started.push(worker);
    await until(async () => (await workers()).some((id) => !before.includes(id)), 30_000);
    return worker;
  }

  async function workers(): Promise<string[]> {
    return (await admin.query<{ id: string }>('select id from workers order by id')).rows.map(({ id }) => id);
  }

  it('writes heartbeats, and leaves the last one for others to see', async () => {
    const seenAt = async (): Promise<string[]> =>
      (await admin.query<{ at: string }>('select seen_at::text as at from workers')).rows.map(({ at }) => at);
    const worker = await startWorker();
    const [first] = await seenAt();
    await until(async () => (await seenAt())[0] !== first);
    expect(await worker.end()).toBe(0);
    expect(await seenAt()).toHaveLength(1);
  }, 240_000);

  it('that is killed during an attempt leaves it to another, which need not wait until the attempt times out', async () => {
    let isHeld = false;
    receiver.answer = () => (isHeld = true);
    await fleet.manager.post('/v1/reminder-targets', { kind: 'webhook', address: receiver.url });
    const day = (days: number): string => new Date(Date.now() + days * 86_400_000).toISOString().slice(0, 10);
    const line = await seedDueLine({ database: { admin } } as unknown as Service, fleet.fleetId, {
      ...{ windowOpensOn: day(-20), dueOn: day(-5), lateOn: day(20), id: uuidv7() },
    });
    await admin.query('insert into sweep_requests (fleet_id, vehicle_id) values ($1, $2)', [
      fleet.fleetId,
      line.vehicleId,
    ]);
    const first = await startWorker();
    await until(
      () => isHeld,
      20_000,
      () => first.log(),
    );
    const second = await startWorker();
    await first.killHard();
    receiver.answer = (reply) => reply.writeHead(204).end();
    await receiver.untilReceived(2, 60_000);
    const [one, again] = receiver.received;
    expect(again?.text).toBe(one?.text);
    await until(async () => {
      const { rows } = await admin.query<{ status: string; attempts: number }>(
        `select status, attempts from reminders where status <> 'superseded'`,
      );
      return rows.length === 1 && rows[0]?.status === 'sent' && rows[0].attempts === 2;
    });
    expect(await workers()).toHaveLength(1);
    expect(await second.end()).toBe(0);
  }, 240_000);
});
