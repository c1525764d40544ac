import type { Message } from '../../../domain/message.js';
import type { Quantity } from '../../../domain/quantities/units.js';
import { dateInWords, dayInWords, weekdayInWords } from '../../../platform/words/dates.js';
import { type Language, LANGUAGE_FILES } from '../../../platform/words/languages.js';
import { quantityInWords, textOf } from '../../../platform/words/render.js';

/** How the page speaks to its reader. */
export interface Wording {
  readonly language: Language;
  /** For numbers, as BCP 47 writes it. */
  readonly locale: string;
  readonly say: (message: Message) => string;
  /** A civil date. */
  readonly date: (day: string) => string;
  /** A civil date with its day of the week. */
  readonly weekday: (day: string) => string;
  /** The fleet's day of an instant. */
  readonly on: (instant: string) => string;
  /** A quantity in the reader's units, as it is read off in a bay. */
  readonly amount: (quantity: Quantity, rounding?: 'nearest' | 'down') => string;
}

/** @param timeZone of the fleet */
export function wordingIn(language: Language, timeZone: string): Wording {
  // Quantities come in the reader's units, as text.
  const reader = { language, units: null };
  return {
    language,
    locale: LANGUAGE_FILES[language].locale,
    say: (message) => textOf(message, reader),
    date: (day) => dateInWords(day, language),
    weekday: (day) => weekdayInWords(day, language),
    on: (instant) => dayInWords(instant, timeZone, language),
    amount: (quantity, rounding) => quantityInWords(quantity, language, rounding),
  };
}
