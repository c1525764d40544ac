import { monthOf } from '../calendar/civil-date.js';

/** The months (1–12) in which a seasonal vehicle is in use; null: all year. */
export type InUseMonths = readonly number[] | null;

/** Whether the months leave any day out. All twelve months, or none, are no season. */
export function isSeasonal(months: InUseMonths): months is readonly number[] {
  if (months === null) return false;
  const inUse = new Set(months.filter((month) => Number.isInteger(month) && month >= 1 && month <= 12)).size;
  return inUse > 0 && inUse < 12;
}

/**
 * How many days in use lie after one day and up to another (days since 1970-01-01).
 *
 * @example daysInUseBetween(19782, 19785, [3]) // 3 (29 February to 3 March 2024: the 1st, 2nd and 3rd)
 */
export function daysInUseBetween(afterDay: number, throughDay: number, months: InUseMonths): number {
  if (!isSeasonal(months)) return Math.max(0, throughDay - afterDay);
  let count = 0;
  for (let day = afterDay + 1; day <= throughDay;) {
    const { month, lastDay } = monthOf(day);
    const end = Math.min(lastDay, throughDay);
    if (months.includes(month)) count += end - day + 1;
    day = end + 1;
  }
  return count;
}

/** The day that is the `count`-th day in use after a day; for a count of 0 the day itself. */
export function nthDayInUse(afterDay: number, count: number, months: InUseMonths): number {
  if (!isSeasonal(months)) return afterDay + count;
  let day = afterDay;
  for (let left = count; left > 0;) {
    const { month, lastDay } = monthOf(day + 1);
    const inMonth = months.includes(month) ? Math.min(left, lastDay - day) : 0;
    left -= inMonth;
    day = left === 0 ? day + inMonth : lastDay;
  }
  return day;
}
