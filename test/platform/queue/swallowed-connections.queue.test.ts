import { randomBytes } from 'node:crypto';
import { readConfig } from '../../../src/platform/config/config.js';
import { openQueue } from '../../../src/platform/queue/backends.js';
import type { QueueConnections } from '../../../src/platform/queue/connections.js';
import { QUEUES } from '../../../src/platform/queue/queues.js';
import { cloneDatabase, type TestDatabase } from '../../support/database.js';
import { until } from '../../support/receiver.js';
import { type SwallowingProxy, startSwallowingProxy } from '../../support/swallowing-proxy.js';

/** Which queue backend this Jest project runs on. */
declare const QUEUE: 'postgres' | 'redis';

/** How often a worker looks at least, as docs/operations.md says. */
const LOOKS_WITHIN_MS = 10_000;
/** What a busy machine may add to that. A deaf worker takes minutes, or never comes to it. */
const MARGIN_MS = 10_000;

describe('a worker whose connections are dropped silently', () => {
  const prefix = `swallowed_${randomBytes(4).toString('hex')}`;
  let database: TestDatabase;
  let proxy: SwallowingProxy;
  let producer: QueueConnections;
  let queues: ReturnType<QueueConnections['queue']>[];
  let consumer: QueueConnections;
  /** When each job was done, by its queue and its number. */
  let done: Map<string, number>;

  const open = (queueUrl: string): Promise<QueueConnections> =>
    openQueue(readConfig({ QUEUE_URL: queueUrl, QUEUE_PREFIX: prefix }, database.url), 2 * QUEUES.length);

  async function add(job: string, delay = 0): Promise<void> {
    for (const queue of queues) await queue.add(job, {}, { delay });
  }

  const isDone = (job: string): boolean => QUEUES.every((name) => done.has(`${name} ${job}`));
  const untilDone = (job: string, withinMs: number): Promise<void> =>
    until(
      () => isDone(job),
      withinMs,
      () => `the job ${job} was done by none but ${[...done.keys()].join(', ')}`,
    );

  beforeEach(async () => {
    database = await cloneDatabase();
    const queueUrl = QUEUE === 'redis' ? (process.env.WEEPHOLE_TEST_REDIS ?? '') : database.url;
    proxy = await startSwallowingProxy(queueUrl);
    producer = await open(queueUrl);
    queues = QUEUES.map((name) => producer.queue(name).on('error', () => undefined));
    await until(() =>
      producer.ping().then(
        () => true,
        () => false,
      ),
    );
    consumer = await open(proxy.url);
    done = new Map();
  }, 240_000);
  afterEach(async () => {
    await Promise.all(queues.map((queue) => queue.close()));
    await producer.close();
    await proxy.close();
    await database.drop();
  });

  function startWorkers(): { close(): Promise<void> } {
    const workers = QUEUES.map((name) => {
      const worker = consumer.worker(
        name,
        async (job) => void done.set(`${name} ${job}`, performance.now()),
        1,
      );
      worker.on('error', () => undefined);
      return worker;
    });
    return {
      async close() {
        await Promise.all(workers.map((worker) => worker.close()));
        await consumer.close();
      },
    };
  }

  /**
   * A job whose taking or ending is under way when the answer is swallowed waits for its lock to
   * run out, as a killed worker's does.
   */
  async function untilIdle(): Promise<void> {
    await until(async () =>
      (await Promise.all(queues.map((queue) => queue.getActiveCount()))).every((count) => count === 0),
    );
    await new Promise((resolve) => setTimeout(resolve, 500));
  }

  it('still looks within 10 seconds, in every queue, and gets new connections', async () => {
    const workers = startWorkers();
    // Where a job is delayed, BullMQ would listen on until that is due.
    await add('in an hour', 3_600_000);
    await add('before');
    await untilDone('before', LOOKS_WITHIN_MS);
    await untilIdle();

    proxy.swallow();
    expect(proxy.swallowing()).toBeGreaterThan(0);
    await add('during');
    await add('delayed', 5_000);
    await untilDone('during', LOOKS_WITHIN_MS + MARGIN_MS);
    await untilDone('delayed', 5_000 + LOOKS_WITHIN_MS + MARGIN_MS);
    await until(
      () => proxy.swallowing() === 0,
      LOOKS_WITHIN_MS + MARGIN_MS,
      () => `${proxy.swallowing()} connections are still held on to`,
    );
    expect(proxy.working()).toBeGreaterThanOrEqual(QUEUES.length);

    await add('after');
    await untilDone('after', LOOKS_WITHIN_MS);
    await workers.close();
  }, 240_000);

  it('does not keep its process from ending', async () => {
    const workers = startWorkers();
    await add('before');
    await untilDone('before', LOOKS_WITHIN_MS);
    proxy.swallow();
    const begun = performance.now();
    await workers.close();
    expect(performance.now() - begun).toBeLessThan(LOOKS_WITHIN_MS + MARGIN_MS);
  }, 240_000);
});
