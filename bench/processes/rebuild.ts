import 'reflect-metadata';
import { rebuildAll } from '../../src/conclusions/pipeline/rebuild.js';
import { Clock } from '../../src/platform/clock/clock.js';
import { schema } from '../../src/schema.js';
import { answering } from '../child.js';

answering({
  rebuild: async () => {
    const began = performance.now();
    let mostBytes = 0;
    const { vehicles, differences } = await rebuildAll({
      databaseUrl: process.env.BENCH_DATABASE_URL ?? '',
      schema,
      clock: new Clock(),
      onProgress: () => {
        mostBytes = Math.max(mostBytes, process.memoryUsage.rss());
      },
    });
    return {
      vehicles,
      differences: differences.length,
      seconds: (performance.now() - began) / 1000,
      mostBytes,
    };
  },
});
