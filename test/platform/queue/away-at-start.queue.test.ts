import { randomBytes } from 'node:crypto';
import { readConfig } from '../../../src/platform/config/config.js';
import { migrateQueue } from '../../../src/platform/queue/queue-schema.js';
import { openQueue } from '../../../src/platform/queue/backends.js';
import { type OwnPostgres, startOwnPostgres } from '../../support/own-postgres.js';
import { until } from '../../support/receiver.js';
import { startOwnRedis } from '../../support/redis-server.mjs';

/** Which queue backend this Jest project runs on. */
declare const QUEUE: 'postgres' | 'redis';

/** The queue's server, stopped at first. */
async function stoppedServer(): Promise<{ url: string; start(): Promise<void>; remove(): Promise<void> }> {
  if (QUEUE === 'postgres') {
    const own: OwnPostgres = await startOwnPostgres();
    await migrateQueue(own.url);
    await own.stop();
    return own;
  }
  const first = await startOwnRedis();
  await first.stop();
  let second: typeof first | null = null;
  return {
    url: first.url,
    start: async () => void (second = await startOwnRedis(first.port)),
    remove: async () => second?.stop(),
  };
}

describe('a process that starts while the queue is down', () => {
  it('continues, and works once the queue is up', async () => {
    const server = await stoppedServer();
    const prefix = `away_${randomBytes(4).toString('hex')}`;
    const connections = await openQueue(
      readConfig({ QUEUE_URL: server.url, QUEUE_PREFIX: prefix }, 'postgres://nowhere'),
      2,
    );
    const queue = connections.queue('work').on('error', () => undefined);
    const done: string[] = [];
    const worker = connections
      .worker('work', async (job) => void done.push(job), 1)
      .on('error', () => undefined);
    await expect(queue.add('too early', {})).rejects.toThrow();
    // The process has time for something else.
    await new Promise((resolve) => setTimeout(resolve, 500));
    await server.start();
    await until(
      () =>
        queue.add('in time', {}).then(
          () => true,
          () => false,
        ),
      60_000,
    );
    await until(() => done.includes('in time'), 60_000);
    await worker.close();
    await queue.close();
    await connections.close();
    await server.remove();
  }, 240_000);
});
