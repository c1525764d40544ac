import { type Queue, type Worker, withBackend } from 'bullmq';
import pg from 'pg';
import { ConfigError } from '../config/environment.js';
import {
  DEFAULT_JOB,
  type JobData,
  KEEPALIVE_MS,
  lookingOften,
  lookOptions,
  type QueueConnections,
} from './connections.js';
import { message } from './messages.js';
import { QUEUE_SCHEMA } from './queue-schema.js';
import { createRecoveringBackend } from './recovering-backend.js';
import { watchConnections } from './silent-connections.js';

const APPLICATION = 'weephole queue';

/**
 * A connection that is still checked out this long after all its users were closed is taken as
 * leaked.
 */
const FORGOTTEN_AFTER_MS = 1_000;

/**
 * Opens one pool for all queues and workers. Each would otherwise open ten connections of its own.
 */
function openPool(url: string, poolSize: number, role: string | null): pg.Pool {
  const pool = new pg.Pool({
    connectionString: url,
    max: poolSize,
    keepAlive: true,
    keepAliveInitialDelayMillis: KEEPALIVE_MS,
    connectionTimeoutMillis: 5_000,
    application_name: APPLICATION,
    options: `${role === null ? '' : `-c role=${role} `}-c app.direct=on -c search_path=${QUEUE_SCHEMA}`,
  });
  pool.on('error', () => undefined);
  return pool;
}

/**
 * @throws ConfigError when the queue's tables are missing, out of reach or not open to this login
 */
async function assertTables(pool: pg.Pool): Promise<void> {
  const { rows } = await pool.query<{ direct: string | null; there: boolean; open: boolean }>(
    `select current_setting('app.direct', true) as direct, exists (select from pg_namespace where nspname = $1) as there,
         coalesce(has_schema_privilege((select oid from pg_namespace where nspname = $1), 'usage'), false) as open`,
    [QUEUE_SCHEMA],
  );
  if (rows[0]?.direct !== 'on') {
    throw new ConfigError(message('queue-through-pooler'));
  }
  if (!rows[0].there) throw new ConfigError(message('queue-no-tables'));
  if (!rows[0].open) {
    throw new ConfigError(message('queue-tables-closed'));
  }
}

/**
 * Opens the queue on PostgreSQL.
 *
 * @param role the role that the login assumes; null where it works as itself
 */
export function postgresConnections(
  url: string,
  poolSize: number,
  role: string | null,
  lockMs: number,
): QueueConnections {
  const pool = openPool(url, poolSize, role);
  const watch = watchConnections(pool, { connectionString: url, application_name: APPLICATION });
  const { Queue: PostgresQueue, Worker: PostgresWorker } = withBackend(createRecoveringBackend);
  const connection = pool as never;
  return {
    queue: (name) =>
      new PostgresQueue<JobData>(name, {
        connection,
        skipWaitingForReady: true,
        defaultJobOptions: DEFAULT_JOB,
      }) as unknown as Queue<JobData>,
    worker: (name, processor, concurrency) =>
      lookingOften(
        new PostgresWorker<JobData>(name, (job) => processor(job.name, job.data, job.id ?? ''), {
          connection,
          concurrency,
          ...lookOptions(lockMs),
        }) as unknown as Worker<JobData>,
      ),
    async ping() {
      await pool.query('select 1');
    },
    assertUsable: () => assertTables(pool),
    async close() {
      watch.stop();
      const ended = pool.end();
      // A worker that is closed while it is still starting keeps its listening connection, and
      // `pool.end()` would wait for that connection for ever.
      const forgotten = setTimeout(() => watch.giveUp(), FORGOTTEN_AFTER_MS);
      await ended;
      clearTimeout(forgotten);
    },
  };
}
