import 'reflect-metadata';
import { buildWorker } from '../../src/bootstrap.js';
import { readConfig } from '../../src/platform/config/config.js';
import { openQueue } from '../../src/platform/queue/backends.js';
import { QUEUES, WorkQueue } from '../../src/platform/queue/work-queue.js';
import { deliveryJob } from '../../src/reminders/delivery-jobs.js';
import { answering } from '../child.js';

/** The worker as it is run in earnest, at its default concurrency. */
const redisUrl = process.env.BENCH_REDIS_URL ?? '';
const config = readConfig(
  { LOG_LEVEL: 'error', QUEUE_URL: redisUrl, WEEPHOLE_ALLOW_LOCAL_WEBHOOKS: 'true' },
  process.env.BENCH_DATABASE_URL ?? '',
);
const queue = new WorkQueue(openQueue(config.queue, QUEUES.length * 2, config.queuePrefix, null));
let close = async (): Promise<void> => undefined;

answering(
  {
    fill: async ({ reminders }: { reminders: { fleetId: string; id: string }[] }) => {
      const now = new Date();
      await queue.queue('deliveries').waitUntilReady();
      const added = await queue.add(
        'deliveries',
        reminders.map(({ fleetId, id }) => deliveryJob(fleetId, id, 1, now, now)),
      );
      if (!added) throw new Error('the queue could not be filled');
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
