import 'reflect-metadata';
import { monitorEventLoopDelay } from 'node:perf_hooks';
import { buildApi } from '../../src/bootstrap.api.js';
import { readConfig } from '../../src/platform/config/config.js';
import { answering } from '../child.js';

/**
 * The API as it is run in earnest, in a process of its own; requests are counted, and more are let
 * through than are ever sent.
 */
const env = { LOG_LEVEL: 'error', PORT: '0', REQUESTS_PER_MINUTE: '1000000', ...process.env };
const app = await buildApi(readConfig(env, process.env.BENCH_DATABASE_URL ?? ''), { withWorker: false });
await app.listen(0, '127.0.0.1');
const url = await app.getUrl();

const delays = monitorEventLoopDelay({ resolution: 2 });
delays.enable();

answering(
  {
    url: () => url,
    /** How long the event loop was away at most since this was last asked, in ms. */
    longestBlock: () => {
      const longest = delays.max / 1e6;
      delays.reset();
      return longest;
    },
    /** Seconds of processor time spent so far. */
    processorSeconds: () => {
      const { user, system } = process.cpuUsage();
      return (user + system) / 1e6;
    },
    /** Bytes of memory that the process holds. */
    memory: () => process.memoryUsage.rss(),
  },
  () => app.close(),
);
