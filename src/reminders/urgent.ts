/**
 * What is urgent: told by itself, which no digest delays, and at any hour unless its target says
 * otherwise. This file alone decides it.
 */

/** What a target does with its hours when a reminder is urgent. */
export const URGENT = ['at-any-hour', 'within-hours'] as const;
export type Urgent = (typeof URGENT)[number];

/**
 * SQL that is true where a due line is due at once: a reading found something unsafe, and nobody
 * postponed the line.
 *
 * @param line alias of `due_lines`
 */
export function isDueAtOnce(line: string): string {
  return `(${line}.is_at_once and ${line}.postponed_until is null)`;
}

/**
 * SQL that is true where a reminder is urgent. Repeating that a line stays late is not.
 *
 * @param reminder alias of `reminders`
 */
export function isUrgent(reminder: string): string {
  return `(${reminder}.repeat = 0 and exists (
    select from due_lines urgent_line
    where urgent_line.fleet_id = ${reminder}.fleet_id and urgent_line.id = ${reminder}.due_line_id and ${isDueAtOnce('urgent_line')}))`;
}

/** When urgent reminders of a target go out; `sendAt` is when its others do. */
export function urgentSendAt(target: { urgent: Urgent }, sendAt: Date, now: Date): Date {
  return target.urgent === 'at-any-hour' ? now : sendAt;
}
