import { type Language, LANGUAGE_FILES } from './languages.js';

const FORMATS = new Map<string, Intl.DateTimeFormat>();

function format(language: Language, options: Intl.DateTimeFormatOptions, at: number): string {
  const key = `${language} ${JSON.stringify(options)}`;
  let known = FORMATS.get(key);
  if (known === undefined) {
    known = new Intl.DateTimeFormat(LANGUAGE_FILES[language].locale, options);
    FORMATS.set(key, known);
  }
  // Versions of Node differ in which of their spaces do not break.
  return known.format(at).replaceAll(/[\u00a0\u202f]/g, ' ');
}

/** A civil date, YYYY-MM-DD. @example dateInWords('2026-04-06', 'es') // '6 de abril de 2026' */
export function dateInWords(date: string, language: Language): string {
  return format(language, { dateStyle: 'long', timeZone: 'UTC' }, Date.parse(date));
}

/** As `dateInWords`, with its day of the week. @example 'Monday, April 6, 2026' */
export function weekdayInWords(date: string, language: Language): string {
  return format(language, { dateStyle: 'full', timeZone: 'UTC' }, Date.parse(date));
}

/** The day of an instant where the fleet is. */
export function dayInWords(instant: string, timeZone: string, language: Language): string {
  return format(language, { dateStyle: 'long', timeZone }, Date.parse(instant));
}

/** An instant by the clocks of the fleet. @example 'April 2, 2026 at 9:00 AM' */
export function momentInWords(instant: string, timeZone: string, language: Language): string {
  return format(language, { dateStyle: 'long', timeStyle: 'short', timeZone }, Date.parse(instant));
}
