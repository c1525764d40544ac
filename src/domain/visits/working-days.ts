import { civilDateOf, epochDayOf } from '../calendar/civil-date.js';

export const WEEKDAYS = [
  'monday',
  'tuesday',
  'wednesday',
  'thursday',
  'friday',
  'saturday',
  'sunday',
] as const;
export type Weekday = (typeof WEEKDAYS)[number];

/** When a depot works. */
export interface WorkingTime {
  weekdays: readonly Weekday[];
  /** Days on which it is closed all the same, 'YYYY-MM-DD'. */
  closedOn: readonly string[];
}

/** Common practice, no source. */
export const USUAL_WEEKDAYS: readonly Weekday[] = ['monday', 'tuesday', 'wednesday', 'thursday', 'friday'];
/** One mechanic's day; common practice, no source. */
export const USUAL_LABOUR_HOURS = 8;

/** Longer than this no depot stays closed, or nothing can be planned there. */
const LONGEST_CLOSED_DAYS = 366;

/** The day of the week; 1970-01-01, day 0, was a Thursday (ISO 8601). @example weekdayOf(0) // 'thursday' */
export function weekdayOf(epochDay: number): Weekday {
  return WEEKDAYS[(((epochDay + 3) % 7) + 7) % 7] as Weekday;
}

/**
 * Why a day is no working day: the day of the week, or that the depot is closed; null for a working
 * day. @example closedBecause(epochDayOf('2026-04-04'), usual) // 'saturday'
 */
export function closedBecause(
  epochDay: number,
  { weekdays, closedOn }: WorkingTime,
): Weekday | 'closed' | null {
  const weekday = weekdayOf(epochDay);
  if (!weekdays.includes(weekday)) return weekday;
  return closedOn.includes(civilDateOf(epochDay)) ? 'closed' : null;
}

/**
 * The working days from one day to another, both included, and the first one after them.
 *
 * @returns days from 1970-01-01; dayAfter is null where the depot stays closed for a year
 * @example workingDays('2026-04-03', '2026-04-06', usual) // a Friday and a Monday; dayAfter is the Tuesday
 */
export function workingDays(
  from: string,
  to: string,
  time: WorkingTime,
): { days: number[]; dayAfter: number | null } {
  const last = epochDayOf(to);
  const days: number[] = [];
  for (let day = epochDayOf(from); day <= last; day++) if (closedBecause(day, time) === null) days.push(day);
  for (let day = last + 1; day <= last + LONGEST_CLOSED_DAYS; day++)
    if (closedBecause(day, time) === null) return { days, dayAfter: day };
  return { days, dayAfter: null };
}
