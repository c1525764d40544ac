import { setTimeout as delay } from 'node:timers/promises';
import { changeFleet } from '../build-fleets.js';
import { atMost, type Figure, median, ms } from '../figure.js';
import { call } from '../post.js';
import type { Stage } from '../stage.js';

const REQUESTS = 60;
/**
 * A PostgreSQL backend reports its statistics at most this often, and only with a later statement.
 */
const STATISTICS_MS = 1_300;

/** The summary of a whole fleet, requested after each change to the fleet. */
export async function summaryFigures({ main: { admin, fleets, service } }: Stage): Promise<Figure[]> {
  const { rows } = await admin.query<{ id: string; vehicles: number }>(
    'select fleet_id as id, count(*)::int as vehicles from vehicles where fleet_id = any($1::uuid[]) group by 1 order by 2 desc limit 1',
    [fleets.map(({ id }) => id)],
  );
  const fleet = fleets.find(({ id }) => id === rows[0]?.id);
  if (!fleet) throw new Error('there is no fleet');
  const took: number[] = [];
  const read = async (): Promise<void> => {
    await changeFleet(admin, fleet.id);
    const began = performance.now();
    const { states } = await call<{ states: Record<string, number> }>(
      service.url,
      fleet.tokens.dashboard,
      '/v1/due-list/summary',
    );
    took.push(performance.now() - began);
    const counted = Object.values(states).reduce((sum, count) => sum + count, 0);
    if (counted !== 3 * (rows[0]?.vehicles ?? 0)) throw new Error(`the summary counts ${counted} lines`);
  };
  for (let n = 0; n < 10; n++) await read();
  took.length = 0;
  const rowsRead = async (): Promise<number> => {
    await delay(STATISTICS_MS);
    await read();
    const { rows: read_ } = await admin.query<{ read: number }>(
      `select (seq_tup_read + coalesce((select sum(idx_tup_read) from pg_stat_user_indexes i where i.relid = t.relid), 0))::float8 as read
       from pg_stat_user_tables t where relid = 'public.due_lines'::regclass`,
    );
    return read_[0]?.read ?? Number.NaN;
  };
  const before = await rowsRead();
  for (let n = 0; n < REQUESTS; n++) await read();
  const after = await rowsRead();
  const vehicles = rows[0]?.vehicles ?? 0;
  return [
    atMost(
      'summary-p50-ms',
      median(took),
      10,
      `a fleet of ${vehicles.toLocaleString('en')} vehicles, slowest ${ms(Math.max(...took))}`,
    ),
    atMost(
      'summary-due-lines-read',
      (after - before) / (REQUESTS + 1),
      vehicles / 10,
      `of the fleet's ${(3 * vehicles).toLocaleString('en')}, on the path of one request`,
    ),
  ];
}
