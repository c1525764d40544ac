import {
  createPostgresBackend,
  Queue,
  type QueueOptions,
  Worker,
  type WorkerOptions,
  withBackend,
} from 'bullmq';
import { Redis } from 'ioredis';
import pg from 'pg';
import type { Config } from '../config/config.js';
import { QUEUE_SCHEMA } from '../database/migrate.js';

/** A queued job: a name and ids, never content; the row it speaks of is the truth. */
export type JobData = Record<string, string | number | string[]>;

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

/** When the jobs of a killed worker are taken up again: once its lock has run out, at the next look for such. */
function stallOptions(
  lockMs: number,
): Pick<WorkerOptions, 'lockDuration' | 'stalledInterval' | 'maxStalledCount'> {
  return {
    lockDuration: lockMs,
    stalledInterval: Math.ceil(lockMs / 3),
    // A job that is interrupted by a crash is not to blame for it.
    maxStalledCount: 25,
  };
}

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
    connectionTimeoutMillis: 5_000,
    application_name: 'weephole queue',
    options: `${role === null ? '' : `-c role=${role} `}-c app.direct=on -c search_path=${QUEUE_SCHEMA}`,
  });
  pool.on('error', () => undefined);
  const open = new Set<pg.PoolClient>();
  pool.on('connect', (client) => {
    open.add(client);
    // One that breaks while it is handed out and idle would end the process, if nobody listened.
    client.on('error', () => undefined);
  });
  pool.on('remove', (client) => open.delete(client));
  const { Queue: PostgresQueue, Worker: PostgresWorker } = withBackend(createPostgresBackend);
  const connection = pool as never;
  return {
    queue: (name) =>
      new PostgresQueue<JobData>(name, {
        connection,
        skipWaitingForReady: true,
        defaultJobOptions: DEFAULT_JOB,
      }) as unknown as Queue<JobData>,
    worker: (name, processor, concurrency) =>
      new PostgresWorker<JobData>(name, (job) => processor(job.name, job.data, job.id ?? ''), {
        connection,
        concurrency,
        ...stallOptions(lockMs),
      }) as unknown as Worker<JobData>,
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
      const ended = pool.end();
      // A worker that is closed while it takes its place keeps the connection it listens on, which would be waited for in vain.
      const forgotten = setTimeout(() => {
        for (const client of open) client.release(true);
      }, FORGOTTEN_AFTER_MS);
      await ended;
      clearTimeout(forgotten);
    },
  };
}

function redisConnections(url: string, prefix: string, lockMs: number): QueueConnections {
  // A producer must not wait for Redis: it fails at once, and the sweep finds the row later. A worker waits for ever.
  const producer = new Redis(url, { enableOfflineQueue: false, maxRetriesPerRequest: 1, lazyConnect: false });
  producer.on('error', () => undefined);
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
      const connection = new Redis(url, { maxRetriesPerRequest: null });
      connection.on('error', () => undefined);
      blocking.push(connection);
      return new Worker<JobData>(name, (job) => processor(job.name, job.data, job.id ?? ''), {
        connection,
        concurrency,
        ...stallOptions(lockMs),
        ...options,
      });
    },
    async ping() {
      await producer.ping();
    },
    // Redis needs nothing made beforehand; one that is away may come back.
    async assertUsable() {},
    async close() {
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
