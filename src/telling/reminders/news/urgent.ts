import type { Urgent } from '../../../entities/reminder.entity.js';

/**
 * Defines what is urgent. Urgent news is sent on its own and no digest delays it. It is sent at any
 * hour, unless its target says otherwise. Only this file decides what is urgent.
 */

/**
 * SQL that is true when a line that a reading opened at once is due. A postponed line is due on its
 * new day, and is urgent again then.
 *
 * @param line alias of `due_lines`
 * @param day SQL expression for today in the fleet's time zone
 */
export function isDueAtOnce(line: string, day: string): string {
  return `(${line}.is_at_once and ${line}.due_on <= ${day})`;
}

/**
 * SQL that is true when the vehicle was released for service with a failed safety reading that is
 * still unsettled.
 *
 * @param of SQL expressions of the fleet, the vehicle and the reading
 */
export function isReleasedWith(of: { fleetId: string; vehicleId: string; readingId: string }): string {
  return `exists (
    select from due_lines released_line
    where released_line.fleet_id = ${of.fleetId} and released_line.vehicle_id = ${of.vehicleId} and released_line.is_open
      and released_line.released_with is not null and released_line.released_with @> to_jsonb(${of.readingId}::text))`;
}

/**
 * SQL that is true when a reminder is urgent. Repeating that a line is still late is not urgent.
 *
 * @param reminder alias of `reminders`
 */
export function isUrgent(reminder: string): string {
  const reading = {
    fleetId: `${reminder}.fleet_id`,
    vehicleId: `${reminder}.vehicle_id`,
    readingId: `${reminder}.subject_id`,
  };
  return `(${reminder}.repeat = 0 and case ${reminder}.news when 'failed-reading' then ${isReleasedWith(reading)} else exists (
    select from due_lines urgent_line
    where urgent_line.fleet_id = ${reminder}.fleet_id and urgent_line.id = ${reminder}.due_line_id and urgent_line.is_at_once) and ${reminder}.stage in ('due', 'late') end)`;
}

/** When urgent reminders of a target are sent. `sendAt` is when its other reminders are sent. */
export function urgentSendAt(target: { urgent: Urgent }, sendAt: Date, now: Date): Date {
  return target.urgent === 'at-any-hour' ? now : sendAt;
}
