import { createServer, type Server } from 'node:http';
import { once } from 'node:events';
import type pg from 'pg';

/** The first third of these only warms up the sender. */
const REMINDERS = 6000;

/**
 * Counts arriving messages and reports their rate, once the sender has run long enough to be fully
 * compiled.
 */
export interface Receiver {
  url: string;
  /** @returns the rate per second of the last two thirds, once `count` have arrived */
  rateOf(count: number): Promise<number>;
  /** How many messages have arrived more than once since the last call. */
  doubled(): number;
  close(): void;
}

export async function startReceiver(): Promise<Receiver> {
  const ids = new Map<string, number>();
  let arrived = 0;
  let began = 0;
  let wanted = Number.POSITIVE_INFINITY;
  let done: (perSecond: number) => void = () => undefined;
  const server: Server = createServer((request, reply) => {
    request.resume();
    const id = String(request.headers['webhook-id']);
    ids.set(id, (ids.get(id) ?? 0) + 1);
    request.once('end', () => {
      reply.writeHead(204).end();
      arrived++;
      const warmUp = Math.ceil(wanted / 3);
      if (arrived === warmUp) began = performance.now();
      if (arrived === wanted) done(((wanted - warmUp) / (performance.now() - began)) * 1000);
    });
  });
  server.listen(0, '127.0.0.1');
  await once(server, 'listening');
  const address = server.address();
  return {
    url: `http://127.0.0.1:${typeof address === 'object' && address !== null ? address.port : 0}/`,
    rateOf(count) {
      ids.clear();
      arrived = 0;
      wanted = count;
      return new Promise((resolve) => {
        done = resolve;
      });
    },
    doubled: () => [...ids.values()].filter((times) => times > 1).length,
    close() {
      server.closeAllConnections();
      server.close();
    },
  };
}

/** Adds waiting reminders for the receiver, one for each of some open lines. */
export async function addReminders(
  admin: pg.Client,
  fleetIds: string[],
  receiver: string,
): Promise<{ fleetId: string; id: string }[]> {
  await admin.query('delete from reminder_attempts');
  await admin.query('delete from reminders');
  await admin.query('delete from reminder_targets');
  await admin.query(
    `insert into reminder_targets (fleet_id, id, kind, address, hears, stages, digest, secret)
     select id, gen_random_uuid(), 'webhook', $2, '{due-line}', '{window,due,late}', 'each', 'whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw' from unnest($1::uuid[]) f(id)`,
    [fleetIds, receiver],
  );
  // Otherwise, a worker that starts would first make up for the night and morning of every fleet.
  await admin.query(
    `insert into fleet_sweeps (fleet_id, swept_on, cohorts_on) select id, current_date + 1, current_date + 1 from fleets
     on conflict (fleet_id) do update set swept_on = excluded.swept_on, cohorts_on = excluded.cohorts_on`,
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
