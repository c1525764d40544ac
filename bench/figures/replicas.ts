import { type Child, startChild } from '../child.js';
import { atLeast, atMost, type Figure, median, perSecond } from '../figure.js';
import { load, warmUp } from '../load.js';
import { addReminders, startReceiver } from '../receiver.js';
import { startRedis } from '../redis.js';
import { type Stage, startService } from '../stage.js';
import { firstReads } from './due-list.js';

const ROUNDS = 4;
const SECONDS = 2;
/**
 * On a machine that one process keeps busy, a second gains nothing, but it must not cost much
 * either.
 */
const LITTLE_LOST = 0.8;

/** Pages that were never requested before, from one API and from two in turn. */
async function apis(stage: Stage): Promise<Figure> {
  const { service: one } = await firstReads(stage);
  const second = await startService(stage.main.databaseUrl);
  try {
    const connections = one.connections / 2;
    const half = [one.url, second.url].map((url) => ({ ...one, url, connections }));
    await warmUp([one, { ...one, url: second.url }]);
    const rates = { one: [] as number[], two: [] as number[] };
    for (let round = 0; round < ROUNDS; round++) {
      rates.one.push((await load(one, { seconds: SECONDS })).perSecond);
      const both = await Promise.all(half.map((each) => load(each, { seconds: SECONDS })));
      rates.two.push(both.reduce((sum, { perSecond: rate }) => sum + rate, 0));
    }
    return atLeast(
      'replicas-two-apis',
      median(rates.two.map((rate, round) => rate / (rates.one[round] ?? Number.NaN))),
      LITTLE_LOST,
      `${perSecond(median(rates.two))} of two beside ${perSecond(median(rates.one))} of one, as many connections`,
    );
  } finally {
    await second.process.stop();
  }
}

/** Reminders from one queue on Redis, sent by one worker and by two. */
async function workers({ main: { admin, databaseUrl, fleets }, say }: Stage): Promise<Figure[]> {
  const redis = await startRedis();
  if (redis === null) {
    say('there is no redis-server on the PATH: two workers are NOT measured, and count as not held');
    const detail = 'not measured: no redis-server';
    return [{ figure: 'replicas-two-workers', value: 0, bound: `>= ${LITTLE_LOST}`, held: false, detail }];
  }
  const receiver = await startReceiver();
  const started: Child[] = [];
  try {
    const env = { BENCH_DATABASE_URL: databaseUrl, BENCH_REDIS_URL: redis.url };
    const ids = fleets.map(({ id }) => id);
    const rates: number[] = [];
    for (const count of [1, 2]) {
      const reminders = await addReminders(admin, ids, receiver.url);
      await admin.query('vacuum analyze reminders, reminder_targets');
      const rate = receiver.rateOf(reminders.length);
      const here = Array.from({ length: count }, () => startChild('service-worker', env));
      started.push(...here);
      await here[0]?.ask('fill', { reminders, url: receiver.url });
      await Promise.all(here.map((worker) => worker.ask('start')));
      rates.push(await rate);
      await Promise.all(here.map((worker) => worker.stop()));
    }
    const [one = 0, two = 0] = rates;
    return [
      atLeast(
        'replicas-two-workers',
        two / one,
        LITTLE_LOST,
        `${perSecond(two)} reminders of two beside ${perSecond(one)} of one`,
      ),
      atMost('replicas-sent-twice', receiver.doubled(), 0, 'reminders that two workers sent more than once'),
    ];
  } finally {
    await Promise.all(started.map((worker) => worker.stop()));
    receiver.close();
    await redis.stop();
  }
}

/** Runs two of each process on one machine. */
export async function replicaFigures(stage: Stage): Promise<Figure[]> {
  return [await apis(stage), ...(await workers(stage))];
}
