import { Queue, type QueueOptions, Worker } from 'bullmq';
import { Redis } from 'ioredis';
import {
  DEFAULT_JOB,
  type JobData,
  KEEPALIVE_MS,
  LOOK_EVERY_S,
  lookingOften,
  lookOptions,
  type QueueConnections,
} from './connections.js';
import { ASK_EVERY_MS } from './silent-connections.js';

/** Options that make a Redis connection fail when the server no longer answers. */
const NOTICING_SILENCE = {
  keepAlive: KEEPALIVE_MS,
  // Longer than a worker listens.
  socketTimeout: 1000 * LOOK_EVERY_S + 1000,
  // A silent server does not answer the goodbye either.
  disconnectTimeout: 500,
};

/** Opens the queue on Redis. */
export function redisConnections(url: string, prefix: string, lockMs: number): QueueConnections {
  // A producer must not wait for Redis: it fails at once, and the sweep finds the row later. A
  // worker waits for ever.
  const producer = new Redis(url, {
    ...NOTICING_SILENCE,
    enableOfflineQueue: false,
    maxRetriesPerRequest: 1,
  });
  producer.on('error', () => undefined);
  // Workers use their connections often enough to notice silence. This one may be idle for hours,
  // and without a ping the next job to queue would be the first to notice.
  const asking = setInterval(() => void producer.ping().catch(() => undefined), ASK_EVERY_MS).unref();
  const blocking: Redis[] = [];
  const options: Partial<QueueOptions> = { prefix };
  return {
    queue: (name) =>
      new Queue<JobData>(name, {
        connection: producer,
        skipWaitingForReady: true,
        // The version check is a command too: it fails before the connection is ready, and the
        // queue would never recover from that.
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
    // Redis needs no tables, and a Redis that is away may come back.
    async assertUsable() {},
    async close() {
      clearInterval(asking);
      for (const connection of [producer, ...blocking]) connection.disconnect();
      await Promise.resolve();
    },
  };
}
