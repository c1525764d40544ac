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
