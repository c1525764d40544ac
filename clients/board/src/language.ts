import { IntlMessageFormat } from 'intl-messageformat';
import type { Code, ValuesOf } from './codes.js';

/** A language as the service serves it to the board. */
export interface LanguageTexts {
  language: string;
  /** By which numbers, dates and lists are written (BCP 47). */
  locale: string;
  /** What each code says, in ICU MessageFormat. */
  messages: Readonly<Record<string, string>>;
}

let spoken: LanguageTexts = { language: 'en', locale: 'en-US', messages: {} };
const formats = new Map<string, IntlMessageFormat>();

/** From now on the board speaks this language. */
export function speak(texts: LanguageTexts): void {
  spoken = texts;
  formats.clear();
}

export const currentLanguage = (): string => spoken.language;
export const currentLocale = (): string => spoken.locale;

/** What a message says in the language spoken; its code where the language has no such message. */
export function tell<C extends Code>(code: C, ...[values]: ValuesOf<C>): string {
  let format = formats.get(code);
  if (format === undefined) {
    format = new IntlMessageFormat(spoken.messages[code] ?? code, spoken.locale, undefined, {
      ignoreTag: true,
    });
    formats.set(code, format);
  }
  const given = Object.entries((values ?? {}) as Record<string, string | number | readonly string[]>);
  return String(format.format(Object.fromEntries(given.map(([name, value]) => [name, inText(value)]))));
}

function inText(value: string | number | readonly string[]): string | number {
  return typeof value === 'object' ? new Intl.ListFormat(spoken.locale).format(value) : value;
}

/** What messages of the service say. */
export const textsOf = (messages: readonly { text: string }[]): string[] => messages.map(({ text }) => text);
