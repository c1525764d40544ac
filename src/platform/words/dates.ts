import { type Language, LANGUAGE_FILES } from './languages.js';

const FORMATS = new Map<string, Intl.DateTimeFormat>();

function format(language: Language, options: Intl.DateTimeFormatOptions, at: number): string {
  const key = `${language} ${JSON.stringify(options)}`;
  let known = FORMATS.get(key);
  if (known === undefined) {
    known = new Intl.DateTimeFormat(LANGUAGE_FILES[language].locale, options);
    FORMATS.set(key, known);
  }
  // Versions of Node differ in which spaces are no-break spaces.
  return known.format(at).replaceAll(/[\u00a0\u202f]/g, ' ');
}

/**
 * A civil date (YYYY-MM-DD) in words. @example dateInWords('2026-04-06', 'es') // '6 de abril de
 * 2026'
 */
export function dateInWords(date: string, language: Language): string {
  return format(language, { dateStyle: 'long', timeZone: 'UTC' }, Date.parse(date));
}

/** Like `dateInWords`, with the day of the week. @example 'Monday, April 6, 2026' */
export function weekdayInWords(date: string, language: Language): string {
  return format(language, { dateStyle: 'full', timeZone: 'UTC' }, Date.parse(date));
}

/** The date of an instant in the given time zone, in words. */
export function dayInWords(instant: string, timeZone: string, language: Language): string {
  return format(language, { dateStyle: 'long', timeZone }, Date.parse(instant));
}

/** An instant as local time in the given time zone. @example 'April 2, 2026 at 9:00 AM' */
export function momentInWords(instant: string, timeZone: string, language: Language): string {
  return format(language, { dateStyle: 'long', timeStyle: 'short', timeZone }, Date.parse(instant));
}
