import type { EntityManager } from 'typeorm';
import type { DueState } from '../../domain/intervals/types.js';
import { runStatement, type Statement } from '../../platform/database/statement.js';
import { DEFAULT_PAGE } from '../../platform/pages/pages.js';
import { DUE_LINE_COLUMNS, type DueLineRow, dueLineRowOf } from './due-line-row.js';
import { inStateOnDay, standsOnDay } from './due-state.sql.js';
import { visitStands } from './visit-stands.sql.js';

/** Which lines to list. A missing filter matches every line. */
export interface LineFilters {
  depotId?: string;
  component?: string;
  action?: string;
  vehicleId?: string;
  /** The vehicles whose unit number matches, when they are few. */
  vehicleIds?: string[];
  /** A pattern for the unit number, when many vehicles match. */
  unitNumberLike?: string;
  /** Exclusive: lines that are due on this day do not match. */
  dueBefore?: string;
  /** The person to whom the lines are assigned. */
  assignedTo?: string;
}

export interface DueListRequest {
  /** Today in the fleet's zone, or the day stored in the cursor. */
  asOf: string;
  states: ReadonlySet<DueState>;
  filters: LineFilters;
  /** The last row of the page before. */
  after: Pick<DueLineRow, 'isAtOnce' | 'dueOn' | 'id'> | null;
  limit: number;
}

/** The states that are listed when the request names none. */
export const STANDING: readonly DueState[] = ['late', 'due', 'window'];

const DAY = '$2::date';
const ofFleet = (column: string): string => `(select ${column} from fleets where id = $1)`;
const LEAD = ofFleet('greatest_lead_days');
const GRACE = ofFleet('greatest_grace_days');

/**
 * Read for each row of the page. With an ordinary join PostgreSQL might read the usage of the whole
 * fleet.
 */
const USAGE =
  'left join lateral (select * from usage_summaries u where u.fleet_id = l.fleet_id and u.vehicle_id = l.vehicle_id limit 1) u on true';

/**
 * Splits the requested states into conditions. For each of them one index gives the lines in the
 * order of the list, and PostgreSQL reads almost no row that it then discards.
 *
 * A line is `due` no longer than the fleet's greatest grace; after that it is late. There are two
 * exceptions: lines that never become late, and lines whose lateness lapses with the estimate
 * behind it. These have an index of their own.
 */
function stretches(states: ReadonlySet<DueState>): string[] {
  const inState = (state: DueState): string => inStateOnDay(state, DAY, LEAD);
  const found: string[] = [];
  const left = new Set(states);
  if (STANDING.every((state) => left.has(state))) {
    found.push(standsOnDay(DAY, LEAD));
    for (const state of STANDING) left.delete(state);
  } else if (left.has('late') && left.delete('due')) {
    found.push(`l.is_open and not l.no_baseline and l.due_on <= ${DAY}`);
    left.delete('late');
  }
  if (left.delete('due')) {
    found.push(
      `${inState('due')} and l.due_on > ${DAY} - ${GRACE}`,
      `${inState('due')} and l.due_on <= ${DAY} - ${GRACE} and (l.late_on = 'infinity' or l.late_lapses_on is not null)`,
    );
  }
  if (left.delete('no-baseline'))
    found.push(`${inState('no-baseline')} and l.due_on = 'infinity' and l.window_opens_on > ${DAY}`);
  return [...found, ...[...left].map(inState)];
}

/** Adds the filters as conditions on `l` and their values to `values`. */
export function conditionsOf(filters: LineFilters, values: unknown[]): string[] {
  const conditions: string[] = [];
  const add = (condition: (parameter: string) => string, value: unknown): void => {
    if (value !== undefined) conditions.push(condition(`$${values.push(value)}`));
  };
  add((p) => `l.depot_id = ${p}::uuid`, filters.depotId);
  add((p) => `l.component = ${p}`, filters.component);
  add((p) => `l.action = ${p}`, filters.action);
  add((p) => `l.vehicle_id = ${p}::uuid`, filters.vehicleId);
  add((p) => `l.vehicle_id = any(${p}::uuid[])`, filters.vehicleIds);
  add((p) => `l.unit_number ilike ${p}`, filters.unitNumberLike);
  add((p) => `l.due_on < ${p}::date`, filters.dueBefore);
  add((p) => `l.visit_assignee = ${p}::uuid and ${visitStands()}`, filters.assignedTo);
  return conditions;
}

/**
 * The name under which PostgreSQL keeps the prepared statement. Only the few queries that pages
 * send again and again have one.
 */
function nameOf({ states, filters, after, limit }: DueListRequest): string | null {
  const isUsual =
    limit === DEFAULT_PAGE + 1 &&
    states.size === STANDING.length &&
    STANDING.every((state) => states.has(state));
  const given = Object.entries(filters).flatMap(([key, value]) => (value === undefined ? [] : [key]));
  if (!isUsual || given.some((key) => !['depotId', 'component', 'vehicleId'].includes(key))) return null;
  return ['due-list', ...given.sort(), ...(after ? [after.isAtOnce ? 'at-once' : 'after'] : [])].join('_');
}

/**
 * The condition for lines that are due at once. One index scan finds them, because they are few.
 */
function atOnce(states: ReadonlySet<DueState>): string {
  const conditions = [...states].map((state) => inStateOnDay(state, DAY, LEAD));
  return `l.is_open and l.is_at_once and (${conditions.join(' or ')})`;
}

/**
 * One page of the due list with each vehicle's usage. Lines that are due at once come first. Both
 * they and the others are ordered by `due_on` and id.
 *
 * The limit is written into the text of the statement. If it were a parameter, PostgreSQL would
 * plan for a tenth of the table.
 */
export function dueListStatement(
  fleetId: string,
  request: DueListRequest,
  columns = DUE_LINE_COLUMNS,
): Statement {
  const { asOf, states, filters, after, limit } = request;
  const values: unknown[] = [fleetId, asOf];
  const conditions = conditionsOf(filters, values);
  // Must come before the state's own bound. PostgreSQL cannot compare the two bounds, and starts
  // its index scan at the first one.
  const start = after
    ? [`(l.due_on, l.id) > ($${values.push(after.dueOn)}::date, $${values.push(after.id)}::uuid)`]
    : [];
  const inOrder = `order by due_on, id limit ${limit}`;
  const part = (stretch: string, from: readonly string[]): string => {
    const where = ['l.fleet_id = $1', ...from, stretch, ...conditions].join(' and ');
    return `(select l.* from due_lines l where ${where} ${inOrder})`;
  };
  const isPastAtOnce = after !== null && !after.isAtOnce;
  const others = stretches(states).map((stretch) =>
    part(`${stretch} and not l.is_at_once`, isPastAtOnce ? start : []),
  );
  // A subquery of its own, so that PostgreSQL merges the conditions and stops at the end of the
  // page.
  const merged =
    others.length > 1 ? `(select * from (${others.join(' union all ')}) o ${inOrder})` : others[0];
  const listed = isPastAtOnce ? merged : `${part(atOnce(states), start)} union all ${merged}`;
  const name = nameOf(request);
  const isWhole = columns === DUE_LINE_COLUMNS;
  return {
    ...(name !== null && { name }),
    ...(isWhole && { rowMode: 'array' }),
    text: `select ${columns}
     from (${listed} ${isPastAtOnce ? '' : `order by is_at_once desc, due_on, id limit ${limit}`}) l ${isWhole ? USAGE : ''}
     order by l.is_at_once desc, l.due_on, l.id`,
    values,
  };
}

export async function dueListRows(
  manager: EntityManager,
  fleetId: string,
  request: DueListRequest,
): Promise<DueLineRow[]> {
  const rows = await runStatement<unknown[][]>(manager, dueListStatement(fleetId, request));
  return rows.map(dueLineRowOf);
}

/** Some lines, by id, each with its vehicle's usage. */
export function dueLineRows(
  manager: EntityManager,
  fleetId: string,
  ids: readonly string[],
): Promise<DueLineRow[]> {
  return manager.query<DueLineRow[]>(
    `select ${DUE_LINE_COLUMNS} from due_lines l ${USAGE} where l.fleet_id = $1 and l.id = any($2::uuid[])`,
    [fleetId, ids],
  );
}

/** One line with its vehicle's usage. */
export async function dueLineRow(manager: EntityManager, fleetId: string, id: string): Promise<DueLineRow> {
  const [row] = await dueLineRows(manager, fleetId, [id]);
  if (!row) throw new Error(`the due line ${id} is gone`);
  return row;
}

/** At most `limit` vehicles of the fleet whose unit number matches a pattern. */
export async function vehiclesLike(
  manager: EntityManager,
  fleetId: string,
  pattern: string,
  limit: number,
): Promise<string[]> {
  const rows = await manager.query<{ id: string }[]>(
    'select id from vehicles where fleet_id = $1 and unit_number ilike $2 limit $3',
    [fleetId, pattern, limit],
  );
  return rows.map((row) => row.id);
}

/** The names of depots, by id. */
export async function depotNames(
  manager: EntityManager,
  fleetId: string,
  ids: string[],
): Promise<Map<string, string>> {
  const rows = await manager.query<{ id: string; name: string }[]>(
    'select id, name from depots where fleet_id = $1 and id = any($2::uuid[])',
    [fleetId, ids],
  );
  return new Map(rows.map(({ id, name }) => [id, name]));
}

/**
 * How many due lines were done on time and how many late, from one day to another, both included.
 */
export async function doneCounts(
  manager: EntityManager,
  fleetId: string,
  span: { from: string; to: string },
  filters: LineFilters,
): Promise<{ onTime: number; late: number }> {
  const values: unknown[] = [fleetId, span.from, span.to];
  const conditions = conditionsOf(filters, values);
  const [counted] = await manager.query<{ onTime: number; late: number }[]>(
    `select count(*) filter (where c.performed_on < c.late_on) as "onTime", count(*) filter (where c.performed_on >= c.late_on) as late
     from completions c join due_lines l on l.fleet_id = c.fleet_id and l.id = c.due_line_id
     where c.fleet_id = $1 and c.performed_on between $2::date and $3::date and not c.voided
       ${conditions.map((condition) => `and ${condition}`).join(' ')}`,
    values,
  );
  return counted ?? { onTime: 0, late: 0 };
}
