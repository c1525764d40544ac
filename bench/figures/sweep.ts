import type pg from 'pg';
import { startChild } from '../child.js';
import { atMost, type Figure } from '../figure.js';
import type { Stage } from '../stage.js';

/** Share of the vehicles with a line that has come due since the last sweep. */
const NEWLY_DUE = 0.01;
/** Memory that sweeping one fleet may leave behind after all fleets have been swept. */
const FLAT_BYTES = 40 * 2 ** 20;

/**
 * Gives each fleet a webhook target that has been told about everything open. Then makes one line
 * of every hundredth vehicle come due.
 *
 * @returns how many reminders are missing
 */
async function prepare(admin: pg.Client, fleetIds: string[]): Promise<number> {
  await admin.query(
    `insert into reminder_targets (fleet_id, id, kind, address, hears, stages, digest, secret)
     select id, gen_random_uuid(), 'webhook', 'http://127.0.0.1:9/', '{due-line}', '{window,due,late}', 'each', 'whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw' from unnest($1::uuid[]) f(id)`,
    [fleetIds],
  );
  await admin.query(
    `update due_lines set window_opens_on = current_date - 30, due_on = current_date, late_on = current_date + 14
     where id in (
       select l.id from (
         select fleet_id, id, vehicle_id, row_number() over (order by md5(id::text)) as place from due_lines
         where fleet_id = any($1::uuid[]) and component = 'coolant' and is_open and window_opens_on > current_date) l
       where place <= (select $2::float8 * count(*) from vehicles where fleet_id = any($1::uuid[])))`,
    [fleetIds, NEWLY_DUE],
  );
  await admin.query(
    `insert into reminders (fleet_id, id, target_id, due_line_id, cycle, stage, status, next_attempt_at, sent_at, created_at)
     select l.fleet_id, gen_random_uuid(), t.id, l.id, l.cycle,
       case when l.late_on <= current_date then 'late' when l.due_on <= current_date then 'due' else 'window' end, 'sent', now(), now(), now()
     from due_lines l join reminder_targets t on t.fleet_id = l.fleet_id
     where l.fleet_id = any($1::uuid[]) and l.is_open and not l.no_baseline and l.window_opens_on <= current_date
       and not (l.due_on = current_date and l.component = 'coolant')`,
    [fleetIds],
  );
  await admin.query('vacuum analyze due_lines, reminders, reminder_targets');
  const { rows } = await admin.query<{ count: number }>(
    `select count(*)::int as count from due_lines where fleet_id = any($1::uuid[]) and is_open and due_on = current_date and component = 'coolant'`,
    [fleetIds],
  );
  return rows[0]?.count ?? 0;
}

async function takeBack(admin: pg.Client): Promise<void> {
  await admin.query("delete from reminders where status in ('waiting', 'superseded')");
  await admin.query('vacuum analyze reminders');
}

/**
 * The theoretical limit: one statement that finds and records the same reminders for all fleets at
 * once. @returns how many it recorded
 */
async function oneStatement(admin: pg.Client): Promise<number> {
  const { rowCount } = await admin.query(
    `insert into reminders (fleet_id, id, target_id, due_line_id, cycle, stage, status, next_attempt_at, created_at)
     select l.fleet_id, gen_random_uuid(), t.id, l.id, l.cycle, l.stage, 'waiting', now(), now()
     from (
       select l.fleet_id, l.id, l.cycle, case when l.late_on <= current_date then 'late' when l.due_on <= current_date then 'due' else 'window' end as stage
       from due_lines l where l.is_open and not l.no_baseline and l.due_on <= current_date + 30 and l.window_opens_on <= current_date) l
     join reminder_targets t on t.fleet_id = l.fleet_id and t.disabled_at is null and t.removed_at is null and l.stage = any(t.stages)
     where not exists (select from reminders r where r.fleet_id = l.fleet_id and r.due_line_id = l.id and r.cycle = l.cycle and r.stage = l.stage and r.target_id = t.id)`,
  );
  return rowCount ?? 0;
}

/** The morning sweep of all fleets, including the queueing of the deliveries. */
export async function sweepFigures({ main: { admin, databaseUrl, fleets } }: Stage): Promise<Figure[]> {
  const ids = fleets.map(({ id }) => id);
  const missing = await prepare(admin, ids);
  const sweeper = startChild('sweep', { BENCH_DATABASE_URL: databaseUrl });
  try {
    // Run both once before measuring: the first to run would read the tables into memory for the
    // other.
    await sweeper.ask('sweep', ids);
    await takeBack(admin);
    await oneStatement(admin);
    await takeBack(admin);
    const { seconds, grownBytes } = await sweeper.ask<{ seconds: number; grownBytes: number }>('sweep', ids);
    const { rows } = await admin.query<{ count: number }>(
      "select count(*)::int as count from reminders where status = 'waiting'",
    );
    if (rows[0]?.count !== missing)
      throw new Error(`${rows[0]?.count} reminders were recorded, not ${missing}`);
    await takeBack(admin);
    const began = performance.now();
    const recorded = await oneStatement(admin);
    const bare = (performance.now() - began) / 1000;
    if (recorded !== missing)
      throw new Error(`the one statement recorded ${recorded} reminders, not ${missing}`);
    return [
      atMost(
        'sweep-beside-one-statement',
        seconds / bare,
        2,
        `${missing} reminders of ${ids.length} fleets in ${seconds.toFixed(2)} s beside ${bare.toFixed(2)} s`,
      ),
      atMost(
        'sweep-memory-growth-mib',
        grownBytes / 2 ** 20,
        FLAT_BYTES / 2 ** 20,
        'from the first fleet swept to the last',
      ),
    ];
  } finally {
    await sweeper.stop();
    await takeBack(admin);
  }
}
