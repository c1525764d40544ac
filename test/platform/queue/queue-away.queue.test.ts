import { migrateQueue } from '../../../src/platform/queue/queue-schema.js';
import { zoneAtNoon } from '../../support/clock.js';
import { cloneDatabase, type TestDatabase } from '../../support/database.js';
import { startOwnPostgres } from '../../support/own-postgres.js';
import { type ServiceProcess, startProcess } from '../../support/processes.js';
import { type Receiver, startReceiver, until } from '../../support/receiver.js';
import { startOwnRedis } from '../../support/redis-server.mjs';
import { postScenario } from '../../support/scenario.js';
import { clientOf, type FleetHandle, insertFleet } from '../../support/service.js';

/** Which queue backend this Jest project runs on. */
declare const QUEUE: 'postgres' | 'redis';

/** A queue of a test's own, apart from the database, which it may stop and start. */
interface OwnQueue {
  url: string;
  stop(): Promise<void>;
  start(): Promise<void>;
  remove(): Promise<void>;
}

async function startOwnQueue(): Promise<OwnQueue> {
  if (QUEUE === 'postgres') {
    const own = await startOwnPostgres();
    await migrateQueue(own.url);
    return own;
  }
  let redis: Awaited<ReturnType<typeof startOwnRedis>> | null = await startOwnRedis();
  const { url, port } = redis;
  const stop = async (): Promise<void> => {
    await redis?.stop();
    redis = null;
  };
  return {
    url,
    stop,
    async start() {
      redis ??= await startOwnRedis(port);
    },
    remove: stop,
  };
}

describe('while the queue is down', () => {
  let queue: OwnQueue;
  let database: TestDatabase;
  let receiver: Receiver;
  let service: ServiceProcess;
  let fleet: FleetHandle;
  let url: string;

  beforeAll(async () => {
    queue = await startOwnQueue();
    database = await cloneDatabase();
    receiver = await startReceiver();
    service = startProcess('src/main.js', {
      DATABASE_URL: database.url,
      QUEUE_URL: queue.url,
      PORT: '0',
      QUEUE_CHECK_SECONDS: '1',
      WEEPHOLE_ALLOW_LOCAL_WEBHOOKS: 'true',
    });
    await service.untilSays('listens on ');
    url = /listens on (\S+)/.exec(service.log())?.[1] ?? '';
    fleet = await insertFleet(database.admin, url, { timeZone: zoneAtNoon() });
  }, 240_000);
  afterAll(async () => {
    await service.end();
    await receiver.close();
    await database.drop();
    await queue.remove();
  });

  it('posts still work, and their jobs are made up for when it is back', async () => {
    const target = { kind: 'webhook', address: receiver.url };
    expect((await fleet.manager.post('/v1/reminder-targets', target)).status).toBe(201);
    // This morning is over: what is missed now would be told tomorrow.
    await database.admin.query(
      'insert into fleet_sweeps (fleet_id, swept_on) values ($1, $2) on conflict (fleet_id) do update set swept_on = excluded.swept_on',
      [fleet.fleetId, new Date(Date.now() + 86_400_000)],
    );
    await queue.stop();
    // The queue comes back only after these requests: none of them waits for it.
    await postScenario(fleet);
    const ready = await clientOf(url, null).get('/health/ready');
    expect([ready.status, ready.body.detail]).toEqual([503, expect.stringContaining('he queue')]);
    const due = await fleet.dashboard.get('/v1/due-list?state=late');
    expect(due.body.items.length).toBeGreaterThan(0);
    expect(receiver.received).toHaveLength(0);

    await queue.start();
    await until(async () => (await clientOf(url, null).get('/health/ready')).status === 200, 60_000);
    await until(
      () => receiver.received.length > 0,
      60_000,
      () => service.log().slice(-2000),
    );
    expect(service.hasEnded()).toBe(false);
  }, 240_000);
});
