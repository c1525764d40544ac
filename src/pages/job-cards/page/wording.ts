import type { Message } from '../../../domain/message.js';
import type { Quantity } from '../../../domain/quantities/units.js';
import { dateInWords, dayInWords, weekdayInWords } from '../../../platform/words/dates.js';
import { type Language, LANGUAGE_FILES } from '../../../platform/words/languages.js';
import { quantityInWords, textOf } from '../../../platform/words/render.js';

/** The reader's language and formats. */
export interface Wording {
  readonly language: Language;
  /** For numbers, as BCP 47 writes it. */
  readonly locale: string;
  readonly say: (message: Message) => string;
  /** Formats a civil date. */
  readonly date: (day: string) => string;
  /** Formats a civil date with its day of the week. */
  readonly weekday: (day: string) => string;
  /** Formats the date of an instant in the fleet's zone. */
  readonly on: (instant: string) => string;
  /** Formats a quantity in the reader's units, as it is read in a workshop. */
  readonly amount: (quantity: Quantity, rounding?: 'nearest' | 'down') => string;
}

/** @param timeZone the fleet's zone */
export function wordingIn(language: Language, timeZone: string): Wording {
  // Quantities arrive as text, already in the reader's units.
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
