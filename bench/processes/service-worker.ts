import 'reflect-metadata';
import { setTimeout as delay } from 'node:timers/promises';
import { buildWorker } from '../../src/bootstrap.worker.js';
import { readConfig } from '../../src/platform/config/config.js';
import { openQueue } from '../../src/platform/queue/backends.js';
import { QUEUES, WorkQueue } from '../../src/platform/queue/work-queue.js';
import { deliveryJob } from '../../src/telling/reminders/delivery/delivery-jobs.js';
import { answering } from '../child.js';

/** The worker as in production, at its default concurrency. */
const redisUrl = process.env.BENCH_REDIS_URL ?? '';
const config = readConfig(
  { LOG_LEVEL: 'error', QUEUE_URL: redisUrl, WEEPHOLE_ALLOW_LOCAL_WEBHOOKS: 'true' },
  process.env.BENCH_DATABASE_URL ?? '',
);
const queue = new WorkQueue(await openQueue(config, QUEUES.length * 2));
let close = async (): Promise<void> => undefined;

answering(
  {
    fill: async ({ reminders }: { reminders: { fleetId: string; id: string }[] }) => {
      const now = new Date();
      const jobs = reminders.map(({ fleetId, id }) => deliveryJob(fleetId, id, 1, now, now));
      // A producer does not wait for Redis: it refuses jobs until the connection is ready.
      for (let tries = 0; !(await queue.add('deliveries', jobs)); tries++) {
        if (tries > 100) throw new Error('the queue could not be filled');
        await delay(50);
      }
    },
    start: async () => {
      const worker = await buildWorker(config);
      close = () => worker.close();
      await worker.init();
    },
  },
  async () => {
    await close();
    await queue.onApplicationShutdown();
  },
);
