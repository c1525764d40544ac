import 'reflect-metadata';
import { monitorEventLoopDelay } from 'node:perf_hooks';
import { buildApi } from '../../src/bootstrap.api.js';
import { readConfig } from '../../src/platform/config/config.js';
import { answering } from '../child.js';

/**
 * The API as in production, in a process of its own. Request counting is on, with a limit that is
 * never reached.
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
    /** The longest time the event loop was blocked since the last call, in ms. */
    longestBlock: () => {
      const longest = delays.max / 1e6;
      delays.reset();
      return longest;
    },
    /** CPU time used so far, in seconds. */
    processorSeconds: () => {
      const { user, system } = process.cpuUsage();
      return (user + system) / 1e6;
    },
    /** Resident memory of the process, in bytes. */
    memory: () => process.memoryUsage.rss(),
  },
  () => app.close(),
);
