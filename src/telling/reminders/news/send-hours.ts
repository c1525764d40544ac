import { Temporal } from 'temporal-polyfill';

/**
 * Sending hours in the fleet's time zone: from the first time, included, to the second, not
 * included. They may span midnight.
 */
export interface SendHours {
  from: string;
  to: string;
}

/**
 * Returns the first instant at or after `at` within the hours. If the clock skips the start time in
 * spring, the start moves later by the length of the gap.
 *
 * @example withinHours(new Date('2026-04-02T03:00:00Z'), { from: '06:00', to: '20:00' },
 *   'America/Denver') // 2026-04-02T12:00:00Z
 */
export function withinHours(at: Date, hours: SendHours | null, timeZone: string): Date {
  if (!hours) return at;
  const local = Temporal.Instant.fromEpochMilliseconds(at.getTime()).toZonedDateTimeISO(timeZone);
  const time = local.toPlainTime();
  const [from, to] = [Temporal.PlainTime.from(hours.from), Temporal.PlainTime.from(hours.to)];
  const afterFrom = Temporal.PlainTime.compare(time, from) >= 0;
  const beforeTo = Temporal.PlainTime.compare(time, to) < 0;
  const spansMidnight = Temporal.PlainTime.compare(from, to) > 0;
  if (spansMidnight ? afterFrom || beforeTo : afterFrom && beforeTo) return at;
  const day = afterFrom ? local.toPlainDate().add({ days: 1 }) : local.toPlainDate();
  return new Date(day.toZonedDateTime({ timeZone, plainTime: from }).epochMilliseconds);
}

/**
 * Returns the sending hours from the stored columns; null when the target accepts messages at any
 * hour, or the message does not wait for them.
 */
export function sendHoursOf({
  sendFrom,
  sendTo,
  atAnyHour = false,
}: {
  sendFrom: string | null;
  sendTo: string | null;
  atAnyHour?: boolean;
}): SendHours | null {
  if (atAnyHour) return null;
  return sendFrom !== null && sendTo !== null ? { from: sendFrom, to: sendTo } : null;
}
