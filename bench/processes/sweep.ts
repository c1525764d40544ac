import 'reflect-metadata';
import { Clock } from '../../src/platform/clock/clock.js';
import { openDataSource } from '../../src/platform/database/data-source.js';
import { readConfig } from '../../src/platform/config/config.js';
import { openQueue } from '../../src/platform/queue/backends.js';
import { QUEUES, WorkQueue } from '../../src/platform/queue/work-queue.js';
import { SweepService } from '../../src/telling/reminders/sweep/sweep.service.js';
import { WakeUps } from '../../src/conclusions/outbox/wake-ups.js';
import { schema } from '../../src/schema.js';
import { answering } from '../child.js';

const url = process.env.BENCH_DATABASE_URL ?? '';
const config = readConfig({ QUEUE_PREFIX: 'bench' }, url);
const dataSource = await openDataSource({
  url,
  role: 'weephole_app',
  poolSize: config.databasePoolSize,
  applicationName: 'weephole bench',
  schema,
});
const queue = new WorkQueue(await openQueue(config, QUEUES.length * 2));
const sweeps = new SweepService(dataSource, new Clock(), queue, new WakeUps(queue));

answering(
  {
    sweep: async (fleetIds: string[]) => {
      const began = performance.now();
      const held: number[] = [];
      const left = [...fleetIds];
      const sweepOn = async (): Promise<void> => {
        for (let fleetId = left.shift(); fleetId !== undefined; fleetId = left.shift()) {
          await sweeps.sweepFleet(fleetId);
          held.push(process.memoryUsage.rss());
        }
      };
      // The same concurrency as in a worker.
      await Promise.all(Array.from({ length: config.queueConcurrency }, sweepOn));
      return {
        seconds: (performance.now() - began) / 1000,
        grownBytes: Math.max(0, (held.at(-1) ?? 0) - (held[0] ?? 0)),
      };
    },
  },
  async () => {
    await queue.onApplicationShutdown();
    await dataSource.destroy();
  },
);
