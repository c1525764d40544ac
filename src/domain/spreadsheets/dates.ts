import { Temporal } from 'temporal-polyfill';

/** Whether day or month comes first in a date that ends with its year. */
export const DATE_ORDERS = ['day-first', 'month-first'] as const;
export type DateOrder = (typeof DATE_ORDERS)[number];

/** Matches `3/14/2021`, `14.03.2021` and `14-3-2021`, with or without a time. */
const YEAR_LAST =
  /^(\d{1,2})([./-])(\d{1,2})\2(\d{4})(?:[T ]+(\d{1,2}:\d{2}(?::\d{2})?(?:\s*[ap]\.?\s?m\.?)?))?$/i;

/** The ISO date, or null when there is no such day. */
function dayOf(year: number, month: number, day: number): string | null {
  try {
    return Temporal.PlainDate.from({ year, month, day }, { overflow: 'reject' }).toString();
  } catch {
    return null;
  }
}

export interface DateReadings extends Record<DateOrder, string | null> {
  /** As written, or by 24 hours when it was written by 12. */
  time: string | undefined;
}

/** Reads a date that ends with its year in both orders; null for any other text. */
export function dateReadings(text: string): DateReadings | null {
  const found = YEAR_LAST.exec(text.trim());
  if (!found) return null;
  const [first, second, year] = [found[1], found[3], found[4]].map(Number) as [number, number, number];
  return {
    'day-first': dayOf(year, second, first),
    'month-first': dayOf(year, first, second),
    time: found[5] === undefined ? undefined : byTwentyFour(found[5]),
  };
}

/** A time of the twelve-hour clock by the other. A time that does not exist stays as it is. */
function byTwentyFour(time: string): string {
  const found = /^(\d{1,2})(:\d{2}(?::\d{2})?)\s*([ap])\.?\s?m\.?$/i.exec(time);
  if (!found) return time;
  const [, hour = '', rest = '', half = ''] = found;
  if (Number(hour) < 1 || Number(hour) > 12) return time;
  const of24 = (Number(hour) % 12) + (half.toLowerCase() === 'p' ? 12 : 0);
  return `${String(of24).padStart(2, '0')}${rest}`;
}

/** The only order in which a cell is a date; null when both orders fit or neither does. */
export function dateOrderOf(text: string): DateOrder | null {
  const readings = dateReadings(text);
  if (!readings) return null;
  const { 'day-first': day, 'month-first': month } = readings;
  if ((day === null) === (month === null)) return null;
  return day === null ? 'month-first' : 'day-first';
}

/** Whether a cell is a date in both orders, and not the same. */
export function isDateUnclear(text: string): boolean {
  const readings = dateReadings(text);
  if (!readings) return false;
  const { 'day-first': day, 'month-first': month } = readings;
  return day !== null && month !== null && day !== month;
}

/** The first letters of the months, in English and Spanish. */
const MONTHS: Readonly<Record<string, number>> = {
  ...{ jan: 1, ene: 1, feb: 2, mar: 3, apr: 4, abr: 4, may: 5, jun: 6, jul: 7 },
  ...{ aug: 8, ago: 8, sep: 9, set: 9, oct: 10, nov: 11, dec: 12, dic: 12 },
};

/** Reads `14-Mar-2021`, `Mar 14, 2021` and `14 de marzo de 2021`. Null for any other text. */
export function namedDate(text: string): string | null {
  const cell = text.trim().toLowerCase();
  const dayFirst = /^(\d{1,2})[\s./-]+(?:de )?(\p{L}{3,10})\.?[\s,./-]+(?:(?:de|del) )?(\d{4})$/u.exec(cell);
  const nameFirst = /^(\p{L}{3,10})\.?[\s-]+(\d{1,2})(?:st|nd|rd|th)?[\s,-]+(\d{4})$/u.exec(cell);
  const [day, name, year] = dayFirst
    ? [dayFirst[1], dayFirst[2], dayFirst[3]]
    : [nameFirst?.[2], nameFirst?.[1], nameFirst?.[3]];
  const month = MONTHS[name?.slice(0, 3) ?? ''];
  return month === undefined ? null : dayOf(Number(year), month, Number(day));
}

/** The first day that a spreadsheet counts, and the last it can show: 9999-12-31. */
const LAST_SERIAL = 2_958_465;
/** Between both calendars of spreadsheets, 1900 and 1904 (ECMA-376 part 1, 18.17.4.1). */
const FROM_1904 = 1462;
const SECONDS = 86_400;

/**
 * Reads the number under which a spreadsheet keeps a day: days since 1899-12-30, and the time as a
 * fraction. The calendar of 1900 has a 29 February that did not exist, so its first 59 days count
 * from one day later (ECMA-376 part 1, 18.17.4.1).
 *
 * @param is1904 whether the file counts from 1904-01-01 instead
 * @returns the day, with the time unless it is midnight; null when the number is no day
 * @example dateOfSerial(44269) // '2021-03-14'
 */
export function dateOfSerial(serial: number, is1904 = false): string | null {
  const counted = is1904 ? serial + FROM_1904 : serial;
  if (!Number.isFinite(serial) || serial < 0 || counted < 1 || counted >= LAST_SERIAL + 1) return null;
  const seconds = Math.round(counted * SECONDS);
  const [days, rest] = [Math.floor(seconds / SECONDS), seconds % SECONDS];
  if (days === 60 || days > LAST_SERIAL) return null;
  const day = Temporal.PlainDate.from('1899-12-30').add({ days: days < 60 ? days + 1 : days });
  if (rest === 0) return day.toString();
  const time = Temporal.PlainTime.from('00:00').add({ seconds: rest });
  return `${day.toString()} ${time.toString({ smallestUnit: rest % 60 === 0 ? 'minute' : 'second' })}`;
}
