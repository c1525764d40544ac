import { runStatement } from '../../platform/database/statement.js';
import type { EntityManager } from 'typeorm';
import { MS_PER_DAY } from '../../domain/calendar/zone.js';
import { type ConcludedLine, NEVER } from '../../domain/conclusions/stored-line.js';
import { LINE_COLUMNS, LINE_TYPES } from '../load/due-line-columns.js';
import type { LineChanges } from './line-changes.js';

const days = (from: string, to: string): number => (Date.parse(to) - Date.parse(from)) / MS_PER_DAY;

/**
 * The greatest number of days between window opening and due date, and between due date and
 * lateness, among some lines.
 */
function horizonsOf(lines: ConcludedLine[]): { leadDays: number; graceDays: number } {
  let leadDays = 0;
  let graceDays = 0;
  for (const { windowOpensOn, dueOn, lateOn } of lines) {
    if (dueOn === NEVER) continue;
    leadDays = Math.max(leadDays, days(windowOpensOn, dueOn));
    if (lateOn !== NEVER) graceDays = Math.max(graceDays, days(dueOn, lateOn));
  }
  return { leadDays, graceDays };
}

/** The columns of a due line that a calendar shows. */
const IN_CALENDAR = [
  ...['unit_number', 'depot_id', 'is_open', 'no_baseline', 'window_opens_on', 'due_on', 'late_on', 'trigger'],
  ...['last_done_on', 'last_done_report_id', 'postponed_until', 'is_starter'],
];
const inCalendar = (row: string): string => `(${IN_CALENDAR.map((name) => `${row}.${name}`).join(', ')})`;
const IS_REVISED = `${inCalendar('d')} is distinct from ${inCalendar('c')}`;

/** Every column of a line except its id. */
const SET = LINE_COLUMNS.filter((name) => name !== 'id');
const NAMES = LINE_COLUMNS.join(', ');

/**
 * Stores new and changed lines and closes those that no longer apply, in one statement. Also raises
 * the fleet's greatest lead and grace if needed; every read of the due list is limited by these
 * two.
 *
 * @param columns the added lines, then the changed ones, from `lineColumns`
 */
export async function saveLines(
  tx: EntityManager,
  fleetId: string,
  { added, changed, closed }: LineChanges,
  columns: string[],
): Promise<void> {
  const lines = [...added, ...changed];
  if (lines.length === 0 && closed.length === 0) return;
  const { leadDays, graceDays } = horizonsOf(lines);
  await runStatement(tx, {
    name: 'save_lines',
    text: `with closing as (
       update due_lines set is_open = false, calendar_sequence = calendar_sequence + 1, revised_at = now()
       where fleet_id = $1 and id = any($2::uuid[])),
     horizons as (
       update fleets set greatest_lead_days = greatest(greatest_lead_days, $3::int), greatest_grace_days = greatest(greatest_grace_days, $4::int)
       where id = $1 and (greatest_lead_days < $3::int or greatest_grace_days < $4::int)),
     changed as (select * from unnest($5::boolean[], ${LINE_TYPES.map((type, n) => `$${n + 6}::${type}[]`).join(', ')}) as c(is_new, ${NAMES})),
     known as (
       update due_lines d set ${SET.map((name) => `${name} = c.${name}`).join(', ')},
         calendar_sequence = d.calendar_sequence + (case when ${IS_REVISED} then 1 else 0 end),
         revised_at = case when ${IS_REVISED} then now() else d.revised_at end
       from changed c where not c.is_new and d.fleet_id = $1 and d.id = c.id)
     insert into due_lines (fleet_id, ${NAMES})
     select $1, ${LINE_COLUMNS.map((name) => `c.${name}`).join(', ')} from changed c where c.is_new`,
    values: [fleetId, closed, leadDays, graceDays, lines.map((_, n) => n < added.length), ...columns],
  });
}
