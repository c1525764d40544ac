import { type Child, startChild } from '../child.js';
import { atLeast, type Figure, perSecond } from '../figure.js';
import { addReminders, startReceiver } from '../receiver.js';
import { startRedis } from '../redis.js';
import type { Stage } from '../stage.js';

/**
 * Sends reminders from a filled Redis queue to a receiver on loopback, and compares it with a bare
 * worker that posts the same messages.
 */
export async function reminderFigures({
  main: { admin, databaseUrl, fleets },
  say,
}: Stage): Promise<Figure[]> {
  const redis = await startRedis();
  if (redis === null) {
    say(
      'there is no redis-server on the PATH: how fast reminders go out is NOT measured, and counts as not held',
    );
    return [
      {
        figure: 'reminders-beside-bare-worker',
        value: 0,
        bound: '>= 0.5',
        held: false,
        detail: 'not measured: no redis-server',
      },
    ];
  }
  const receiver = await startReceiver();
  const workers: Child[] = [];
  try {
    const env = { BENCH_DATABASE_URL: databaseUrl, BENCH_REDIS_URL: redis.url };
    const rates = { service: 0, bare: 0 };
    for (const which of ['bare', 'service'] as const) {
      const reminders = await addReminders(
        admin,
        fleets.map(({ id }) => id),
        receiver.url,
      );
      await admin.query('vacuum analyze reminders, reminder_targets');
      const rate = receiver.rateOf(reminders.length);
      const worker = startChild(`${which}-worker`, env);
      workers.push(worker);
      await worker.ask('fill', { reminders, url: receiver.url });
      await worker.ask('start');
      rates[which] = await rate;
      await worker.stop();
    }
    return [
      atLeast(
        'reminders-beside-bare-worker',
        rates.service / rates.bare,
        0.5,
        `${perSecond(rates.service)} beside ${perSecond(rates.bare)} of a bare worker with the same concurrency`,
      ),
    ];
  } finally {
    await Promise.all(workers.map((worker) => worker.stop()));
    receiver.close();
    await redis.stop();
  }
}
