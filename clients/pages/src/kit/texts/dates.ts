import { locale } from './tell.js';

/** The day of a civil date, which has no zone: `Thu, Apr 2, 2026`. */
export const dayInWords = (date: string): string =>
  new Intl.DateTimeFormat(locale(), {
    ...{ timeZone: 'UTC', weekday: 'short', day: 'numeric', month: 'short', year: 'numeric' },
  }).format(new Date(`${date}T00:00:00Z`));

/** An instant as the fleet's clocks show it. */
export const momentInWords = (at: string, timeZone: string): string =>
  new Intl.DateTimeFormat(locale(), { timeZone, dateStyle: 'medium', timeStyle: 'short' }).format(
    new Date(at),
  );

/** The day on which an instant was, by the fleet's clocks. */
export const dayOfInstant = (at: string, timeZone: string): string =>
  new Intl.DateTimeFormat(locale(), { timeZone, dateStyle: 'medium' }).format(new Date(at));

/** `Apr 2` */
export const shortDay = (date: string): string =>
  new Intl.DateTimeFormat(locale(), { timeZone: 'UTC', day: 'numeric', month: 'short' }).format(
    new Date(`${date}T00:00:00Z`),
  );

/** The month of a civil date, for drawings. */
export const shortMonth = (date: string): string =>
  new Intl.DateTimeFormat(locale(), { timeZone: 'UTC', month: 'short' }).format(
    new Date(`${date}T00:00:00Z`),
  );

/** How far the clocks of a zone are ahead of UTC at an instant. */
function aheadMs(at: number, timeZone: string): number {
  const parts = new Intl.DateTimeFormat('en-US', {
    ...{ timeZone, hourCycle: 'h23', year: 'numeric', month: 'numeric', day: 'numeric' },
    ...{ hour: 'numeric', minute: 'numeric', second: 'numeric' },
  }).formatToParts(at);
  const [month, day, year, hour, minute, second] = parts
    .filter(({ type }) => type !== 'literal')
    .map(({ value }) => Number(value));
  return Date.UTC(year ?? 0, (month ?? 1) - 1, day, hour, minute, second) - at;
}

/** The instant at which a civil date begins by the fleet's clocks. */
export function beginningOfDay(date: string, timeZone: string): Date {
  const inUtc = Date.parse(`${date}T00:00:00Z`);
  // The clocks may be changed between the first guess and that midnight.
  const guess = inUtc - aheadMs(inUtc, timeZone);
  return new Date(inUtc - aheadMs(guess, timeZone));
}
