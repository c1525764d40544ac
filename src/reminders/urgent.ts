/**
 * What is urgent: told by itself, which no digest delays, and at any hour unless its target says
 * otherwise. This file alone decides it.
 */

/** What a target does with its hours when a reminder is urgent. */
export const URGENT = ['at-any-hour', 'within-hours'] as const;
export type Urgent = (typeof URGENT)[number];

/**
 * SQL that is true where a due line is due at once: a reading found something unsafe, and its
 * follow-up is due by the calendar on the day it was opened. Other follow-ups are due a day later
 * at the earliest, or sooner by distance or hours alone. A postponed one is due later.
 *
 * @param line alias of `due_lines`
 */
export function isDueAtOnce(line: string): string {
  return `(${line}.origin = 'follow-up' and ${line}.trigger = 'time' and ${line}.window_opens_on = ${line}.due_on)`;
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
