import { Queue, type QueueOptions, Worker, type WorkerOptions, withBackend } from 'bullmq';
import { Redis } from 'ioredis';
import pg from 'pg';
import type { Config } from '../config/config.js';
import { QUEUE_SCHEMA } from './queue-schema.js';
import { createRecoveringBackend } from './recovering-backend.js';
import { ASK_EVERY_MS, watchConnections } from './silent-connections.js';

/** A queued job: a name and ids, never content; the row it speaks of is the truth. */
export type JobData = Record<string, string | number>;

export type JobProcessor = (name: string, data: JobData, id: string) => Promise<void>;

/** What both backends offer. */
export interface QueueConnections {
  queue(name: string): Queue<JobData>;
  worker(name: string, processor: JobProcessor, concurrency: number): Worker<JobData>;
  /** Resolves when the backend answers. @throws Error when it does not */
  ping(): Promise<void>;
  /** Checks what no waiting would mend. @throws Error when the queue's tables are missing or closed to this login */
  assertUsable(): Promise<void>;
  close(): Promise<void>;
}

/** How long a worker listens before it looks for itself, since a call may have been lost. */
const LOOK_EVERY_S = 3;

/**
 * How often a worker looks for jobs, and when those of a killed one are taken up: once its lock has
 * run out, at the next look for such.
 */
function lookOptions(
  lockMs: number,
): Pick<
  WorkerOptions,
  'drainDelay' | 'runRetryDelay' | 'lockDuration' | 'stalledInterval' | 'maxStalledCount'
> {
  return {
    drainDelay: LOOK_EVERY_S,
    runRetryDelay: LOOK_EVERY_S * 1000,
    lockDuration: lockMs,
    stalledInterval: Math.ceil(lockMs / 3),
    // A job that is interrupted by a crash is not to blame for it.
    maxStalledCount: 25,
  };
}

/**
 * Bounds the wait for a delayed job, too. BullMQ has no option for that, and listens for up to an
 * hour on PostgreSQL.
 */
function lookingOften<W extends object>(worker: W): W {
  return Object.defineProperty(worker, 'maximumBlockTimeout', { value: LOOK_EVERY_S });
}

/** Idle for so long, a connection is probed by TCP. */
const KEEPALIVE_MS = 10_000;
/** Has a connection to Redis given up that is asked and stays silent. */
const NOTICING_SILENCE = {
  keepAlive: KEEPALIVE_MS,
  // Longer than a worker listens.
  socketTimeout: 1000 * LOOK_EVERY_S + 1000,
  // The other end does not say goodbye.
  disconnectTimeout: 500,
};

/** A connection that is still handed out so long after everything that uses it was closed has been forgotten. */
const FORGOTTEN_AFTER_MS = 1_000;

/** Finished jobs are removed, or the same job id could never be queued again. */
const DEFAULT_JOB = { removeOnComplete: true, removeOnFail: true } as const;

function postgresConnections(
  url: string,
  poolSize: number,
  role: string | null,
  lockMs: number,
): QueueConnections {
  // One pool for all queues and workers: each would otherwise open ten connections of its own.
  const pool = new pg.Pool({
    connectionString: url,
    max: poolSize,
    keepAlive: true,
    keepAliveInitialDelayMillis: KEEPALIVE_MS,
    connectionTimeoutMillis: 5_000,
    application_name: 'weephole queue',
    options: `${role === null ? '' : `-c role=${role} `}-c app.direct=on -c search_path=${QUEUE_SCHEMA}`,
  });
  pool.on('error', () => undefined);
  const watch = watchConnections(pool, { connectionString: url, application_name: 'weephole queue' });
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
    async assertUsable() {
      const { rows } = await pool.query<{ direct: string | null; there: boolean; open: boolean }>(
        `select current_setting('app.direct', true) as direct, exists (select from pg_namespace where nspname = $1) as there,
           coalesce(has_schema_privilege((select oid from pg_namespace where nspname = $1), 'usage'), false) as open`,
        [QUEUE_SCHEMA],
      );
      if (rows[0]?.direct !== 'on') {
        throw new Error(
          'The queue is reached through a connection pooler that drops session settings, without which it does not find its tables. Use the address of PostgreSQL itself.',
        );
      }
      if (!rows[0].there) throw new Error('The queue has no tables yet. Run `npm run migrate` first.');
      if (!rows[0].open) {
        throw new Error(
          'This login may not use the tables of the queue. Run `npm run migrate` with the login that owns them: it opens them to the service.',
        );
      }
    },
    async close() {
      watch.stop();
      const ended = pool.end();
      // A worker that is closed while it takes its place keeps the connection it listens on, which would be waited for in vain.
      const forgotten = setTimeout(() => watch.giveUp(), FORGOTTEN_AFTER_MS);
      await ended;
      clearTimeout(forgotten);
    },
  };
}

function redisConnections(url: string, prefix: string, lockMs: number): QueueConnections {
  // A producer must not wait for Redis: it fails at once, and the sweep finds the row later. A worker waits for ever.
  const producer = new Redis(url, {
    ...NOTICING_SILENCE,
    enableOfflineQueue: false,
    maxRetriesPerRequest: 1,
  });
  producer.on('error', () => undefined);
  // A worker's connections are asked often enough; this one may be idle for hours, and its silence
  // would be noticed by a post.
  const asking = setInterval(() => void producer.ping().catch(() => undefined), ASK_EVERY_MS).unref();
  const blocking: Redis[] = [];
  const options: Partial<QueueOptions> = { prefix };
  return {
    queue: (name) =>
      new Queue<JobData>(name, {
        connection: producer,
        skipWaitingForReady: true,
        // The check is a command too: it fails before the connection stands, and the queue would never recover from that.
        skipVersionCheck: true,
        defaultJobOptions: DEFAULT_JOB,
        ...options,
      }),
    worker(name, processor, concurrency) {
      const connection = new Redis(url, { ...NOTICING_SILENCE, maxRetriesPerRequest: null });
      connection.on('error', () => undefined);
      blocking.push(connection);
      return lookingOften(
        new Worker<JobData>(name, (job) => processor(job.name, job.data, job.id ?? ''), {
          connection,
          concurrency,
          ...lookOptions(lockMs),
          ...options,
        }),
      );
    },
    async ping() {
      await producer.ping();
    },
    // Redis needs nothing made beforehand; one that is away may come back.
    async assertUsable() {},
    async close() {
      clearInterval(asking);
      for (const connection of [producer, ...blocking]) connection.disconnect();
      await Promise.resolve();
    },
  };
}

/**
 * Opens the queue's backend.
 *
 * @param consumers how many workers will share it; a pool smaller than that deadlocks without a word
 */
export function openQueue(config: Config, consumers: number): QueueConnections {
  const { queue, queuePrefix, queueLockMs, databaseUrl } = config;
  if (queue.kind === 'redis') return redisConnections(queue.url, queuePrefix, queueLockMs);
  // In the main database the queue's tables are open to the service's role.
  const role = queue.url === databaseUrl ? 'weephole_app' : null;
  return postgresConnections(queue.url, consumers + 5, role, queueLockMs);
}
