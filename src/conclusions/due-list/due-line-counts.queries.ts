import type { EntityManager } from 'typeorm';
import type { DueState } from '../../domain/intervals/types.js';
import { runStatement, type Statement } from '../../platform/database/statement.js';
import { conditionsOf, type LineFilters } from './due-list.queries.js';
import { stateOnDay } from './due-state.sql.js';

export interface CountRow {
  state: DueState;
  component: string | null;
  depotId: string | null;
  depotName: string | null;
  /** What the row counts. A row by component or by depot counts by state as well. */
  by: 'state' | 'component' | 'depot';
  count: number;
}

/** When changes have added more rows than this to the counts, all lines are counted again. */
const MOST_ADDED_ROWS = 2000;

/**
 * Totals by state, by state and component, and by state and depot.
 *
 * @param counts a query that gives a count for each state, component and depot
 */
function grouped(counts: string): string {
  return `select c.state, c.component, c.depot_id as "depotId", d.name as "depotName", c.count,
       case c.left_out when 3 then 'state' when 1 then 'component' else 'depot' end as by
     from (
       select s.state, s.component, s.depot_id, grouping(s.component, s.depot_id) as left_out, sum(s.count)::int8 as count
       from (${counts}) s
       group by grouping sets ((s.state), (s.state, s.component), (s.state, s.depot_id))) c
     left join depots d on d.fleet_id = $1 and d.id = c.depot_id
     where c.count <> 0
     order by c.component, d.name, c.depot_id`;
}

/** Counts the open lines now. Reads each line of the fleet that matches the filters once. */
export function countStatement(fleetId: string, asOf: string, filters: LineFilters): Statement {
  const values: unknown[] = [fleetId, asOf];
  const conditions = ['l.fleet_id = $1', 'l.is_open', ...conditionsOf(filters, values)];
  return {
    text: grouped(
      `select l.component, l.depot_id, ${stateOnDay('$2::date')} as state, count(*) as count
       from due_lines l where ${conditions.join(' and ')} group by 1, 2, 3`,
    ),
    values,
  };
}

export function countRows(
  manager: EntityManager,
  fleetId: string,
  asOf: string,
  filters: LineFilters,
): Promise<CountRow[]> {
  return runStatement<CountRow[]>(manager, countStatement(fleetId, asOf, filters));
}

/**
 * The fields that the stored counts are broken down by. Stored counts can be filtered by these
 * only.
 */
const KEPT_BY = new Set(['depotId', 'component', 'action']);

export function canBeKept(filters: LineFilters): boolean {
  return Object.entries(filters).every(([key, value]) => value === undefined || KEPT_BY.has(key));
}

/**
 * Returns the same counts as `countRows`, but from the stored counts. Reads no lines, because every
 * change of lines adds to the stored counts.
 *
 * @returns null when no counts are stored for that day, or when changes have added too many rows
 */
export async function keptCountRows(
  manager: EntityManager,
  fleetId: string,
  asOf: string,
  filters: LineFilters,
): Promise<CountRow[] | null> {
  const values: unknown[] = [fleetId, asOf, MOST_ADDED_ROWS];
  const conditions = ['l.fleet_id = $1', ...conditionsOf(filters, values)].join(' and ');
  const counts = `select l.component, l.depot_id, l.state, l.lines as count from due_line_counts l where ${conditions}`;
  const most = 'd.counted + $3::int';
  const [kept] = await manager.query<{ rows: CountRow[] | null }[]>(
    `select case when (select count(*) from (select from due_line_counts where fleet_id = $1 limit ${most} + 1) k) <= ${most}
       then coalesce((select json_agg(r) from (${grouped(counts)}) r), '[]') end as rows
     from due_line_count_days d where d.fleet_id = $1 and d.day = $2::date`,
    values,
  );
  return kept?.rows ?? null;
}

/**
 * Counts all open lines of the fleet again and stores the counts.
 *
 * @returns false when another transaction is changing lines at this moment
 */
export async function keepCounts(manager: EntityManager, fleetId: string, asOf: string): Promise<boolean> {
  const [done] = await manager.query<{ kept: boolean }[]>('select count_due_lines($1, $2::date) as kept', [
    fleetId,
    asOf,
  ]);
  return done?.kept === true;
}
