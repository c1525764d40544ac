import { randomBytes } from 'node:crypto';
import { readConfig } from '../../../src/platform/config/config.js';
import { openQueue } from '../../../src/platform/queue/backends.js';
import type { JobProcessor, QueueConnections } from '../../../src/platform/queue/connections.js';
import { WorkQueue } from '../../../src/platform/queue/work-queue.js';
import { cloneDatabase, type TestDatabase } from '../../support/database.js';
import { until } from '../../support/receiver.js';

/** Which queue backend this Jest project runs on. */
declare const QUEUE: 'postgres' | 'redis';

/** The least that QUEUE_LOCK_SECONDS allows. */
const LOCK_SECONDS = 2;

const sweepOf = (fleetId: string) => ({ name: 'sweep-fleet' as const, data: { fleetId } });

/** What the service asks of its queue. Its features are tested on one backend, and this on both. */
describe('the queue', () => {
  let database: TestDatabase;
  let connections: QueueConnections;
  let queue: WorkQueue;
  let workers: ReturnType<QueueConnections['worker']>[];
  let begun: string[];

  const work = () => queue.queue('work');

  /** Starts a worker that notes the fleet of each job it begins. */
  async function startWorker(
    processor: (fleetId: string) => Promise<void> = async () => undefined,
    concurrency = 1,
  ): Promise<(typeof workers)[number]> {
    const noted: JobProcessor = async (_name, { fleetId }) => {
      begun.push(String(fleetId));
      await processor(String(fleetId));
    };
    const worker = connections.worker('work', noted, concurrency).on('error', () => undefined);
    workers.push(worker);
    await worker.waitUntilReady();
    return worker;
  }

  const untilBegun = (...fleets: string[]): Promise<void> =>
    until(
      () => begun.length >= fleets.length,
      30_000,
      () => `only ${begun.join(', ') || 'nothing'} was begun, not ${fleets.join(', ')}`,
    );

  beforeEach(async () => {
    database = await cloneDatabase();
    const url = QUEUE === 'redis' ? (process.env.WEEPHOLE_TEST_REDIS ?? '') : database.url;
    const config = readConfig(
      {
        QUEUE_URL: url,
        QUEUE_PREFIX: `contract_${randomBytes(4).toString('hex')}`,
        QUEUE_LOCK_SECONDS: String(LOCK_SECONDS),
      },
      database.url,
    );
    connections = await openQueue(config, 4);
    queue = new WorkQueue(connections);
    workers = [];
    begun = [];
    await until(() =>
      connections.ping().then(
        () => true,
        () => false,
      ),
    );
  }, 240_000);
  afterEach(async () => {
    await Promise.all(workers.map((worker) => worker.close(true)));
    await queue.onApplicationShutdown();
    await database.drop();
  }, 240_000);

  it('delivers each job once, in the order in which they were added', async () => {
    expect(await queue.add('work', ['a', 'b', 'c'].map(sweepOf))).toBe(true);
    expect(await queue.waiting('work')).toBe(3);
    await startWorker();
    await untilBegun('a', 'b', 'c');
    await until(async () => (await work().getJobCountByTypes('waiting', 'active')) === 0);
    expect(begun).toEqual(['a', 'b', 'c']);
  });

  it('delivers each job once to several workers, as many at a time as each takes', async () => {
    let atOnce = 0;
    let most = 0;
    const busy = async (): Promise<void> => {
      most = Math.max(most, ++atOnce);
      await new Promise((resolve) => setTimeout(resolve, 50));
      atOnce--;
    };
    const fleets = Array.from({ length: 12 }, (_, at) => `fleet-${at}`);
    await queue.add('work', fleets.map(sweepOf));
    await startWorker(busy, 2);
    await startWorker(busy, 1);
    await untilBegun(...fleets);
    await until(() => atOnce === 0);
    expect(begun.toSorted()).toEqual(fleets.toSorted());
    expect(most).toBeLessThanOrEqual(3);
  });

  it('keeps queues apart', async () => {
    await queue.add('work', [sweepOf('a')]);
    await queue.add('deliveries', [{ name: 'deliver-reminder', data: { fleetId: 'b' } }]);
    await startWorker();
    await untilBegun('a');
    expect(await queue.waiting('deliveries')).toBe(1);
    expect(begun).toEqual(['a']);
  });

  it('ignores a job with the id of a waiting one, and accepts it when that is done', async () => {
    await queue.add('work', [{ ...sweepOf('first'), id: 'one' }]);
    await queue.add('work', [{ ...sweepOf('second'), id: 'one' }]);
    expect(await queue.waiting('work')).toBe(1);
    await startWorker();
    await untilBegun('first');
    await until(async () => (await work().getJob('one')) === undefined);
    await queue.add('work', [{ ...sweepOf('third'), id: 'one' }]);
    await untilBegun('first', 'third');
    expect(begun).toEqual(['first', 'third']);
  });

  it('removes a failed job, so its id can be queued again', async () => {
    await queue.add('work', [{ ...sweepOf('fails'), id: 'one' }]);
    await startWorker(async (fleetId) => {
      if (fleetId === 'fails') throw new Error('as it should');
    });
    await untilBegun('fails');
    await until(async () => (await work().getJob('one')) === undefined);
    await queue.add('work', [{ ...sweepOf('works'), id: 'one' }]);
    await untilBegun('fails', 'works');
    expect(begun).toEqual(['fails', 'works']);
  });

  it('holds a delayed job until its time, and lets others pass', async () => {
    await startWorker();
    const addedAt = Date.now();
    await queue.add('work', [{ ...sweepOf('later'), delayMs: 1_500 }, sweepOf('now')]);
    await untilBegun('now');
    await untilBegun('now', 'later');
    expect(begun).toEqual(['now', 'later']);
    // One timer rounds up and another rounds down.
    expect(Date.now() - addedAt).toBeGreaterThanOrEqual(1_490);
  });

  it('delivers jobs without a priority first, then the lowest number first', async () => {
    await queue.add('work', [
      { ...sweepOf('c'), priority: 20 },
      { ...sweepOf('b'), priority: 10 },
      { ...sweepOf('d'), priority: 20 },
      sweepOf('a'),
    ]);
    expect(await queue.waitingOf('work', [20])).toBe(2);
    expect(await queue.waitingOf('work', [10, 20])).toBe(3);
    expect(await queue.waiting('work')).toBe(4);
    await startWorker();
    await untilBegun('a', 'b', 'c', 'd');
    expect(begun).toEqual(['a', 'b', 'c', 'd']);
  });

  it('queues a job once for its key until the job says that it has begun', async () => {
    await queue.add('work', [{ ...sweepOf('a'), onceWaiting: 'word' }]);
    await queue.add('work', [{ ...sweepOf('b'), onceWaiting: 'word' }]);
    expect(await queue.waiting('work')).toBe(1);
    let goOn = (): void => undefined;
    const held = new Promise<void>((resolve) => (goOn = resolve));
    await startWorker(async () => {
      await queue.begun('work', 'word');
      await held;
    });
    await untilBegun('a');
    await until(async () => {
      await queue.add('work', [{ ...sweepOf('c'), onceWaiting: 'word' }]);
      return (await queue.waiting('work')) === 1;
    });
    goOn();
    await untilBegun('a', 'c');
    expect(begun).toEqual(['a', 'c']);
  });

  it('keeps a schedule as given, replaces it, and ends it', async () => {
    const opts = { priority: 7, removeOnComplete: true, removeOnFail: true };
    const schedule = (pattern: string) =>
      work().upsertJobScheduler('morning_1', { pattern, tz: 'America/Denver' }, { ...sweepOf('a'), opts });
    await schedule('0 0 6 * * *');
    await schedule('0 30 6 * * *');
    const schedulers = await work().getJobSchedulers(0, -1);
    expect(schedulers).toHaveLength(1);
    expect(schedulers[0]).toMatchObject({
      key: 'morning_1',
      pattern: '0 30 6 * * *',
      tz: 'America/Denver',
      template: { data: { fleetId: 'a' }, opts: { priority: 7 } },
    });
    expect(await work().getJobCountByTypes('delayed')).toBe(1);
    expect(await work().removeJobScheduler('morning_1')).toBe(true);
    expect(await work().getJobSchedulers(0, -1)).toEqual([]);
    expect(await work().getJobCountByTypes('delayed')).toBe(0);
  });

  it('adds the jobs of a schedule one after another', async () => {
    await startWorker();
    await work().upsertJobScheduler('each-second', { pattern: '* * * * * *' }, { ...sweepOf('a') });
    await untilBegun('a', 'a', 'a');
    expect(await work().removeJobScheduler('each-second')).toBe(true);
  });

  it('gives a dead worker’s job to another when its lock has expired', async () => {
    await queue.add('work', [{ ...sweepOf('a'), id: 'one' }]);
    const dying = await startWorker(() => new Promise(() => undefined));
    await untilBegun('a');
    await dying.close(true);
    expect(await work().getJobCountByTypes('active')).toBe(1);
    await startWorker();
    await untilBegun('a', 'a');
    await until(async () => (await work().getJob('one')) === undefined);
    expect(begun).toEqual(['a', 'a']);
  });

  it('counts its jobs by state', async () => {
    await queue.add('work', [
      sweepOf('a'),
      { ...sweepOf('b'), priority: 1 },
      { ...sweepOf('c'), delayMs: 60_000 },
    ]);
    expect(await work().getJobCounts('waiting', 'active', 'delayed', 'prioritized')).toEqual({
      ...{ waiting: 1, active: 0, delayed: 1, prioritized: 1 },
    });
  });
});
