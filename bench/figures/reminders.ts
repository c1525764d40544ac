import { createServer, type Server } from 'node:http';
import { once } from 'node:events';
import type pg from 'pg';
import { type Child, startChild } from '../child.js';
import { atLeast, type Figure, perSecond } from '../figure.js';
import { startRedis } from '../redis.js';
import type { Stage } from '../stage.js';

const REMINDERS = 3000;

/** Counts what arrives; tells how fast, from the first to the last. */
interface Receiver {
  url: string;
  server: Server;
  /** @returns how many arrived a second, once that many have */
  rateOf(count: number): Promise<number>;
}

async function startReceiver(): Promise<Receiver> {
  let arrived = 0;
  let first = 0;
  let wanted = Number.POSITIVE_INFINITY;
  let done: (perSecond: number) => void = () => undefined;
  const server = createServer((request, reply) => {
    request.resume();
    request.once('end', () => {
      reply.writeHead(204).end();
      arrived++;
      if (arrived === 1) first = performance.now();
      if (arrived === wanted) done(((wanted - 1) / (performance.now() - first)) * 1000);
    });
  });
  server.listen(0, '127.0.0.1');
  await once(server, 'listening');
  const address = server.address();
  return {
    url: `http://127.0.0.1:${typeof address === 'object' && address !== null ? address.port : 0}/`,
    server,
    rateOf(count) {
      arrived = 0;
      wanted = count;
      return new Promise((resolve) => {
        done = resolve;
      });
    },
  };
}

/** Reminders that wait to be sent to the receiver, one for each of some lines that stand. */
async function addReminders(
  admin: pg.Client,
  fleetIds: string[],
  receiver: string,
): Promise<{ fleetId: string; id: string }[]> {
  await admin.query('delete from reminders');
  await admin.query('delete from reminder_targets');
  await admin.query(
    `insert into reminder_targets (fleet_id, id, kind, address, hears, stages, digest, secret)
     select id, gen_random_uuid(), 'webhook', $2, '{due-line}', '{window,due,late}', 'each', 'whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw' from unnest($1::uuid[]) f(id)`,
    [fleetIds, receiver],
  );
  const { rows } = await admin.query<{ fleetId: string; id: string }>(
    `insert into reminders (fleet_id, id, target_id, due_line_id, cycle, stage, status, next_attempt_at, created_at)
     select l.fleet_id, gen_random_uuid(), t.id, l.id, l.cycle,
       case when l.late_on <= d.today then 'late' when l.due_on <= d.today then 'due' else 'window' end, 'waiting', now() - interval '1 minute', now()
     from due_lines l join fleets f on f.id = l.fleet_id
     cross join lateral (select (now() at time zone f.time_zone)::date as today) d
     join reminder_targets t on t.fleet_id = l.fleet_id
     where l.fleet_id = any($1::uuid[]) and l.is_open and not l.no_baseline and l.window_opens_on <= d.today
     limit $2 returning fleet_id as "fleetId", id`,
    [fleetIds, REMINDERS],
  );
  return rows;
}

/** Reminders out of a filled Redis queue to a receiver on loopback, beside a bare worker that posts the same. */
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
    receiver.server.closeAllConnections();
    receiver.server.close();
    await redis.stop();
  }
}
