import { Temporal } from 'temporal-polyfill';

/**
 * Times of day in the fleet's zone between which is sent: from the first on, up to the second. May
 * span midnight.
 */
export interface SendHours {
  from: string;
  to: string;
}

/**
 * The first instant at or after `at` that lies within the hours.
 *
 * A time that the clock skips in spring is taken as that much later, as clocks show it.
 *
 * @example withinHours(new Date('2026-04-02T03:00:00Z'), { from: '06:00', to: '20:00' }, 'America/Denver') // 2026-04-02T12:00:00Z
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
 * The hours of a target as they are stored; null when it may be sent to at any, or what is sent
 * does not wait.
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
