import { addDays, epochDayOf } from '../../../../../src/domain/calendar/civil-date.js';

/** A day of the epoch that was a Monday: 5 January 1970. */
const A_MONDAY = 4;

/** The Monday of the week of a day. */
export const mondayOf = (day: string): string =>
  addDays(day, -((((epochDayOf(day) - A_MONDAY) % 7) + 7) % 7));

/** The seven days of the week that begins on a Monday. */
export const daysOf = (monday: string): string[] => [0, 1, 2, 3, 4, 5, 6].map((n) => addDays(monday, n));

/** The Mondays of the weeks from one day to another. */
export function mondays(from: string, to: string): string[] {
  const found: string[] = [];
  for (let monday = mondayOf(from); monday <= to; monday = addDays(monday, 7)) found.push(monday);
  return found;
}

/** Today by a clock in a zone. */
export const todayIn = (timeZone: string): string =>
  new Intl.DateTimeFormat('en-CA', { timeZone, dateStyle: 'short' }).format(new Date());
