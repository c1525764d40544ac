/**
 * What is urgent: told by itself, which no digest delays, and at any hour unless its target says
 * otherwise. This file alone decides it.
 */

/** What a target does with its hours when a reminder is urgent. */
export const URGENT = ['at-any-hour', 'within-hours'] as const;
export type Urgent = (typeof URGENT)[number];

/**
 * SQL that is true where a line that a reading opened at once is due. A postponed one is due on the
 * day it was put off to, and urgent again then.
 *
 * @param line alias of `due_lines`
 * @param day SQL expression for today in the fleet's zone
 */
export function isDueAtOnce(line: string, day: string): string {
  return `(${line}.is_at_once and ${line}.due_on <= ${day})`;
}

/**
 * SQL that is true where a reminder is urgent. Repeating that a line stays late is not.
 *
 * @param reminder alias of `reminders`
 */
export function isUrgent(reminder: string): string {
  return `(${reminder}.repeat = 0 and ${reminder}.stage in ('due', 'late') and exists (
    select from due_lines urgent_line
    where urgent_line.fleet_id = ${reminder}.fleet_id and urgent_line.id = ${reminder}.due_line_id and urgent_line.is_at_once))`;
}

/** When urgent reminders of a target go out; `sendAt` is when its others do. */
export function urgentSendAt(target: { urgent: Urgent }, sendAt: Date, now: Date): Date {
  return target.urgent === 'at-any-hour' ? now : sendAt;
}
