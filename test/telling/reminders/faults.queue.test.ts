import { Redis } from 'ioredis';
import pg from 'pg';
import { buildApi } from '../../../src/bootstrap.api.js';
import { readConfig } from '../../../src/platform/config/config.js';
import { zoneAtNoon } from '../../support/clock.js';
import { type Arrival, type FaultyReceiver, startFaultyReceiver } from '../../support/faulty-receiver.js';
import { type OwnPostgres, startOwnPostgres } from '../../support/own-postgres.js';
import { type ServiceProcess, startProcess } from '../../support/processes.js';
import { until } from '../../support/receiver.js';
import { startOwnRedis } from '../../support/redis-server.mjs';
import { type FleetHandle, insertFleet } from '../../support/service.js';

/** Which queue backend this Jest project runs on. */
declare const QUEUE: 'postgres' | 'redis';

/**
 * Enough that every worker is killed with its hands full, and that each fault of the receiver comes
 * often.
 */
const REMINDERS = 300;
/** Where nothing is killed, fewer show as well whether any is sent twice. */
const UNDISTURBED = 150;
const CONCURRENCY = 8;

/**
 * How long anything is waited for before it counts as stuck, on a machine that does other things as
 * well.
 */
const PATIENCE_MS = 180_000;

/** What is done once so many reminders were accepted. */
type Step = [accepted: number, what: () => Promise<void>];

/**
 * Servers, receiver and fleet of one test; nothing of it is shared, for all of it is stopped and
 * killed.
 */
interface Bed {
  postgres: OwnPostgres;
  receiver: FaultyReceiver;
  fleet: FleetHandle;
  env: Record<string, string>;
  sql<Row extends pg.QueryResultRow>(text: string, values?: unknown[]): Promise<Row[]>;
  flushRedis(): Promise<void>;
  restartRedis(): Promise<void>;
  startWorker(): ServiceProcess;
  /** The last words of each worker. */
  lastWords(): string;
  takeDown(): Promise<void>;
}

async function makeBed(shares: Parameters<typeof startFaultyReceiver>[1]): Promise<Bed> {
  const postgres = await startOwnPostgres();
  let redis = QUEUE === 'redis' ? await startOwnRedis() : null;
  const receiver = await startFaultyReceiver(20260402, shares);
  const workers: ServiceProcess[] = [];
  const env: Record<string, string> = {
    DATABASE_URL: postgres.url,
    QUEUE_URL: redis?.url ?? '',
    DELIVERY_CONCURRENCY: String(CONCURRENCY),
    WEEPHOLE_ALLOW_LOCAL_WEBHOOKS: 'true',
    LOG_LEVEL: process.env.TEST_LOG_LEVEL ?? 'warn',
    // Short, so that the test need not wait for what a deployment waits for.
    QUEUE_LOCK_SECONDS: '2',
    QUEUE_CHECK_SECONDS: '1',
    SEND_TIMEOUT_SECONDS: '2',
    SEND_RETRY_SECONDS: Array(20).fill('1').join(),
  };

  // A connection costs the server more than a question, and waiting asks often.
  const pool = new pg.Pool({ connectionString: postgres.url, max: 1 });
  // It ends with the server, which is restarted meanwhile.
  pool.on('error', () => undefined);
  async function sql<Row extends pg.QueryResultRow>(text: string, values: unknown[] = []): Promise<Row[]> {
    return (await pool.query<Row>(text, values)).rows;
  }

  async function makeFleet(): Promise<FleetHandle> {
    const api = await buildApi(readConfig({ ...env, LOG_LEVEL: 'fatal' }, postgres.url), {
      withWorker: false,
    });
    const admin = new pg.Client({ connectionString: postgres.url });
    await admin.connect();
    try {
      await api.listen(0, '127.0.0.1');
      const fleet = await insertFleet(admin, await api.getUrl(), { timeZone: zoneAtNoon() });
      const { status } = await fleet.manager.post('/v1/reminder-targets', {
        kind: 'webhook',
        address: receiver.url,
      });
      expect(status).toBe(201);
      return fleet;
    } finally {
      await admin.end();
      await api.close();
    }
  }

  const fleet = await makeFleet();
  return {
    postgres,
    receiver,
    fleet,
    env,
    sql,
    async flushRedis() {
      const client = new Redis(redis?.url ?? '');
      await client.flushall();
      await client.quit();
    },
    async restartRedis() {
      const port = redis?.port;
      await redis?.stop();
      redis = await startOwnRedis(port);
    },
    startWorker() {
      const worker = startProcess('src/main.worker.js', env);
      workers.push(worker);
      return worker;
    },
    lastWords: () => workers.map((worker) => `${worker.pid}: ${worker.log().slice(-2000)}`).join('\n'),
    async takeDown() {
      await Promise.all(workers.map(async (worker) => worker.hasEnded() || (await worker.killHard())));
      await receiver.close();
      await pool.end();
      await redis?.stop();
      await postgres.remove();
    },
  };
}

/** So many vehicles with a line that is due today, by the fleet's calendar. */
async function seedDueLines(bed: Bed, count: number): Promise<void> {
  const dates = `($2::date - 10, $2::date, $2::date + 20)`;
  const [day] = await bed.sql<{ today: string }>(
    'select (now() at time zone time_zone)::date::text as today from fleets where id = $1',
    [bed.fleet.fleetId],
  );
  await bed.sql(
    `with made as (
       insert into vehicles (fleet_id, id, unit_number, duty, status)
       select $1, gen_random_uuid(), 'F-' || n, 'normal', 'in-use' from generate_series(1, $3) n
       returning fleet_id, id, unit_number)
     insert into due_lines (fleet_id, id, vehicle_id, unit_number, component, action, origin, is_open, no_baseline,
       window_opens_on, due_on, late_on, trigger, cycle, due_odometer_lifetime_km)
     select fleet_id, gen_random_uuid(), id, unit_number, 'water-pump', 'replace', 'interval', true, false,
       d.window_opens_on, d.due_on, d.late_on, 'distance', 'in-service', 160934.4
     from made cross join (values ${dates}) d (window_opens_on, due_on, late_on)`,
    [bed.fleet.fleetId, day?.today, count],
  );
  await bed.sql('update fleets set greatest_lead_days = greatest(greatest_lead_days, 10) where id = $1', [
    bed.fleet.fleetId,
  ]);
}

/** Waits until every reminder stands as sent in the tables. */
async function untilAllSent(bed: Bed, sent: number): Promise<void> {
  let standing = '';
  await until(
    async () => {
      const rows = await bed.sql<{ status: string; count: number }>(
        `select status, count(*)::int as count from reminders where status <> 'superseded' group by status`,
      );
      standing = JSON.stringify(rows);
      return rows.length === 1 && rows[0]?.status === 'sent' && rows[0].count === sent;
    },
    PATIENCE_MS,
    () =>
      `the reminders stand at ${standing}; ${bed.receiver.accepted.size} were accepted; the workers said:\n${bed.lastWords()}`,
  );
}

/** The ids under which the reminders are sent. */
async function webhookIds(bed: Bed): Promise<string[]> {
  const rows = await bed.sql<{ id: string }>(
    `select 'msg_' || id as id from reminders where status = 'sent'`,
  );
  return rows.map(({ id }) => id).sort();
}

describe('every reminder', () => {
  let bed: Bed;
  afterEach(() => bed.takeDown());

  it('arrives, and arrives twice only if the answer was lost, whatever dies in between', async () => {
    bed = await makeBed({ refused: 0.1, hung: 0.02, cut: 0.05 });
    await seedDueLines(bed, REMINDERS);
    const { receiver, postgres } = bed;
    /** The messages that each killed worker had in hand, or sent on a connection still open. */
    const lostWith: Arrival[][] = [];
    const events: string[] = [];
    let worker = bed.startWorker();

    const kill = async (): Promise<void> => {
      // By itself it must not have ended, whatever was done to the servers.
      expect([worker.hasEnded(), worker.log()]).toEqual([false, expect.any(String)]);
      const closedBefore = new Set(receiver.arrivals.filter(({ isConnected }) => !isConnected));
      await worker.killHard();
      await until(() => receiver.arrivals.every(({ isConnected }) => !isConnected), PATIENCE_MS);
      lostWith.push(receiver.arrivals.filter((arrival) => !closedBefore.has(arrival)));
      worker = bed.startWorker();
    };
    const restartPostgres = async (): Promise<void> => {
      await postgres.stop();
      await postgres.start();
    };
    const isRedis = QUEUE === 'redis';
    const script: Step[] = [
      [30, kill],
      [70, kill],
      ...(isRedis ? [[90, () => bed.flushRedis()] as Step] : []),
      [110, kill],
      [140, restartPostgres],
      [170, kill],
      ...(isRedis ? [[190, () => bed.restartRedis()] as Step] : []),
      [225, kill],
    ];
    for (const [count, what] of script) {
      await until(
        () => receiver.accepted.size >= count || worker.hasEnded(),
        PATIENCE_MS,
        () =>
          `${receiver.accepted.size} of ${count} were accepted in time; the workers said:\n${bed.lastWords()}`,
      );
      events.push(`after ${receiver.arrivals.length} arrivals: ${what.name || 'a fault'}`);
      await what();
    }
    expect(lostWith.length).toBeGreaterThanOrEqual(5);
    await untilAllSent(bed, REMINDERS);

    expect([...receiver.accepted].sort()).toEqual(await webhookIds(bed));
    // Taken more than once: only where an earlier answer did not reach a worker that lived to write
    // it down.
    const last = new Map(receiver.arrivals.map((arrival, index) => [arrival.id, index]));
    const takenAgain = receiver.arrivals.filter(
      ({ id, outcome }, index) => outcome !== 'refused' && last.get(id) !== index,
    );
    const answered = takenAgain.filter(({ outcome }) => outcome === 'accepted');
    const perKill = lostWith.map(() => 0);
    for (const arrival of answered) {
      const { id } = arrival;
      const kill = lostWith.findIndex((lost) => lost.includes(arrival));
      const story = { id, again: receiver.arrivals.filter((each) => each.id === id), events };
      expect(kill < 0 ? story : null).toBeNull();
      perKill[kill] = (perKill[kill] ?? 0) + 1;
    }
    // A worker has no more than so many under way when it dies.
    for (const count of perKill) expect(count).toBeLessThanOrEqual(CONCURRENCY);
    // Each was written down as accepted once and no more.
    const [written] = await bed.sql<{ most: number; accepted: number }>(
      `select max(times)::int as most, count(*)::int as accepted from (
         select count(*) as times from reminder_attempts where http_status = 204 group by reminder_id) each`,
    );
    expect(written).toEqual({ most: 1, accepted: REMINDERS });
  }, 600_000);

  it('is sent once when two workers are at it', async () => {
    bed = await makeBed({ refused: 0.1 });
    await seedDueLines(bed, UNDISTURBED);
    const workers = [bed.startWorker(), bed.startWorker()];
    await untilAllSent(bed, UNDISTURBED);
    const taken = bed.receiver.arrivals.filter(({ outcome }) => outcome === 'accepted').map(({ id }) => id);
    expect(taken.sort()).toEqual(await webhookIds(bed));
    expect(workers.map((worker) => worker.hasEnded())).toEqual([false, false]);
    const ended = await Promise.all(workers.map((worker) => worker.end()));
    expect(ended).toEqual([0, 0]);
  }, 600_000);
});
