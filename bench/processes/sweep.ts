import 'reflect-metadata';
import { Clock } from '../../src/platform/clock/clock.js';
import { openDataSource } from '../../src/platform/database/data-source.js';
import { readConfig } from '../../src/platform/config/config.js';
import { openQueue } from '../../src/platform/queue/backends.js';
import { QUEUES, WorkQueue } from '../../src/platform/queue/work-queue.js';
import { SweepService } from '../../src/reminders/sweep.service.js';
import { schema } from '../../src/schema.js';
import { answering } from '../child.js';

const url = process.env.BENCH_DATABASE_URL ?? '';
const dataSource = await openDataSource({
  url,
  role: 'weephole_app',
  poolSize: 4,
  applicationName: 'weephole bench',
  schema,
});
const queue = new WorkQueue(openQueue(readConfig({ QUEUE_PREFIX: 'bench' }, url), QUEUES.length * 2));
const sweeps = new SweepService(dataSource, new Clock(), queue);

answering(
  {
    sweep: async (fleetIds: string[]) => {
      const began = performance.now();
      const held: number[] = [];
      for (const fleetId of fleetIds) {
        await sweeps.sweepFleet(fleetId);
        held.push(process.memoryUsage.rss());
      }
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
