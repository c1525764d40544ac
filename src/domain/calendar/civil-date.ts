import { ImpossibleValue } from '../impossible-value.js';
import { message } from './messages.js';

/** A day of the calendar without a time or a zone, 'YYYY-MM-DD'. */
export type CivilDate = string;

const PATTERN = /^(\d{4})-(\d{2})-(\d{2})$/;

/**
 * Days from 1970-01-01 to a civil date: whole numbers for adding and comparing dates.
 *
 * Source: the proleptic Gregorian calendar (ISO 8601), counted in years that begin in March so that
 * the leap day comes last.
 *
 * @throws ImpossibleValue when there is no such date.
 * @example epochDayOf('2024-02-29') // 19782
 */
export function epochDayOf(date: CivilDate): number {
  const match = PATTERN.exec(date);
  const [year, month, day] = match ? [Number(match[1]), Number(match[2]), Number(match[3])] : [0, 0, 0];
  if (month < 1 || month > 12 || day < 1 || day > daysInMonth(year, month)) {
    throw new ImpossibleValue({
      field: 'date',
      value: date,
      limit: { form: 'YYYY-MM-DD' },
      detail: message('date-not-in-calendar', { date }),
    });
  }
  return dayNumber(year, month, day);
}

/** The civil date a number of days after 1970-01-01. @example civilDateOf(19782) // '2024-02-29' */
export function civilDateOf(epochDay: number): CivilDate {
  const { year, month, day } = partsOf(epochDay);
  return `${String(year).padStart(4, '0')}-${month < 10 ? '0' : ''}${month}-${day < 10 ? '0' : ''}${day}`;
}

/** The month (1 to 12) of a day, and the last day of it. @example monthOf(19782) // { month: 2, lastDay: 19782 } */
export function monthOf(epochDay: number): { month: number; lastDay: number } {
  const { year, month, day } = partsOf(epochDay);
  return { month, lastDay: epochDay + daysInMonth(year, month) - day };
}

/** Adds days to a date; negative days go back. @example addDays('2024-02-28', 2) // '2024-03-01' */
export function addDays(date: CivilDate, days: number): CivilDate {
  return civilDateOf(epochDayOf(date) + days);
}

/**
 * Adds calendar months to a date. A day that the month does not have becomes its last day.
 *
 * The convention of Temporal's `add` with overflow `constrain`: a month after 31 January is 28 or
 * 29 February. Counting on from the result differs from counting from the start (28 February + 1
 * month = 28 March), so count from the start.
 *
 * @throws ImpossibleValue when there is no such date or the months are not a whole number.
 * @example addMonths('2023-01-31', 1) // '2023-02-28'
 */
export function addMonths(date: CivilDate, months: number): CivilDate {
  if (!Number.isInteger(months)) {
    const detail = message('months-not-whole', { months });
    throw new ImpossibleValue({ field: 'months', value: months, limit: { whole: true }, detail });
  }
  const { year, month, day } = partsOf(epochDayOf(date));
  const total = year * 12 + month - 1 + months;
  const [targetYear, targetMonth] = [Math.floor(total / 12), (((total % 12) + 12) % 12) + 1];
  return civilDateOf(dayNumber(targetYear, targetMonth, Math.min(day, daysInMonth(targetYear, targetMonth))));
}

function daysInMonth(year: number, month: number): number {
  if (month === 2) return (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0 ? 29 : 28;
  return month === 4 || month === 6 || month === 9 || month === 11 ? 30 : 31;
}

/** Days from 0000-03-01 to 1970-01-01. */
const EPOCH_SHIFT = 719_468;
const DAYS_PER_400_YEARS = 146_097;

function dayNumber(year: number, month: number, day: number): number {
  const y = month <= 2 ? year - 1 : year;
  const era = Math.floor(y / 400);
  const yearOfEra = y - era * 400;
  const dayOfYear = Math.floor((153 * (month + (month > 2 ? -3 : 9)) + 2) / 5) + day - 1;
  const dayOfEra = yearOfEra * 365 + Math.floor(yearOfEra / 4) - Math.floor(yearOfEra / 100) + dayOfYear;
  return era * DAYS_PER_400_YEARS + dayOfEra - EPOCH_SHIFT;
}

function partsOf(epochDay: number): { year: number; month: number; day: number } {
  const z = epochDay + EPOCH_SHIFT;
  const era = Math.floor(z / DAYS_PER_400_YEARS);
  const dayOfEra = z - era * DAYS_PER_400_YEARS;
  const yearOfEra = Math.floor(
    (dayOfEra - Math.floor(dayOfEra / 1460) + Math.floor(dayOfEra / 36524) - Math.floor(dayOfEra / 146096)) /
      365,
  );
  const dayOfYear = dayOfEra - (365 * yearOfEra + Math.floor(yearOfEra / 4) - Math.floor(yearOfEra / 100));
  const shifted = Math.floor((5 * dayOfYear + 2) / 153);
  const month = shifted < 10 ? shifted + 3 : shifted - 9;
  return {
    year: yearOfEra + era * 400 + (month <= 2 ? 1 : 0),
    month,
    day: dayOfYear - Math.floor((153 * shifted + 2) / 5) + 1,
  };
}
