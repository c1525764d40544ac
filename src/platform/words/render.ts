import { IntlMessageFormat } from 'intl-messageformat';
import {
  type ChangeValue,
  isMessage,
  LEGACY,
  type MeasureValue,
  type Message,
  type MessageValue,
  type MomentValue,
} from '../../domain/message.js';
import type { UnitSystem } from '../../domain/quantities/measures.js';
import { quantityAsRead } from '../../domain/quantities/as-read.js';
import type { Quantity } from '../../domain/quantities/units.js';
import { plain } from '../../domain/quantities/wording.js';
import { momentInWords } from './dates.js';
import { type Language, LANGUAGE_FILES } from './languages.js';
import { message } from './messages.js';
import { changeInWords, measureInWords, quantityFor, type ReadersUnits } from './quantity-words.js';

/** Who reads a text: in which language, and in which units. */
export interface Reader {
  readonly language: Language;
  readonly units: ReadersUnits;
}

/** A reader whose units are known. */
export interface UnitReader extends Reader {
  readonly units: UnitSystem;
}

/** Logs are in English, in the units that were typed. */
export const IN_LOGS: Reader = { language: 'en', units: null };

/** Number formats and plural rules are costly to make: all messages share them. */
const numbers = new Map<string, Intl.NumberFormat>();
const plurals = new Map<string, Intl.PluralRules>();

function shared<T>(known: Map<string, T>, key: unknown, make: () => T): T {
  const name = JSON.stringify(key);
  const found = known.get(name) ?? make();
  known.set(name, found);
  return found;
}

const OPTIONS = {
  ignoreTag: true,
  formatters: {
    getNumberFormat: (...given: ConstructorParameters<typeof Intl.NumberFormat>) =>
      shared(numbers, given, () => new Intl.NumberFormat(...given)),
    getDateTimeFormat: (...given: ConstructorParameters<typeof Intl.DateTimeFormat>) =>
      new Intl.DateTimeFormat(...given),
    getPluralRules: (...given: ConstructorParameters<typeof Intl.PluralRules>) =>
      shared(plurals, given, () => new Intl.PluralRules(...given)),
  },
};

/** Parsed messages by language and code. A message without parameters is kept as its text. */
const formats = new Map<string, IntlMessageFormat | string>();
const lists = new Map<string, Intl.ListFormat>();

/**
 * Renders a message in the reader's language and units. Returns the code itself if no language has
 * it, because a missing text must not make an answer fail.
 */
export function textOf(said: Message, reader: Reader): string {
  const { code, values } = said;
  if (code === LEGACY) return typeof values['text'] === 'string' ? values['text'] : code;
  try {
    const format = formatOf(code, reader.language);
    if (format === null) return code;
    return typeof format === 'string' ? format : String(format.format(argumentsOf(said, reader)));
  } catch {
    return code;
  }
}

/** Renders messages in their order. */
export function textsOf(messages: readonly Message[], reader: Reader): string[] {
  return messages.map((said) => textOf(said, reader));
}

function formatOf(code: string, language: Language): IntlMessageFormat | string | null {
  const key = `${language} ${code}`;
  const known = formats.get(key);
  if (known !== undefined) return known;
  const { locale, messages } = LANGUAGE_FILES[language];
  if (!Object.hasOwn(messages, code)) return null;
  const text = messages[code] ?? '';
  const format = new IntlMessageFormat(text, locale, undefined, OPTIONS);
  const kept = text.includes('{') ? format : String(format.format({}));
  formats.set(key, kept);
  return kept;
}

function argumentsOf({ values }: Message, reader: Reader): Record<string, string | number> {
  return Object.fromEntries(Object.entries(values).map(([name, value]) => [name, argumentOf(value, reader)]));
}

function itemOf(item: string | Message, reader: Reader): string {
  return typeof item === 'string' ? item : textOf(item, reader);
}

function argumentOf(value: MessageValue, reader: Reader): string | number {
  if (typeof value === 'string') return value;
  if (typeof value === 'number') return Number(plain(value));
  if (Array.isArray(value))
    return listed(
      (value as (string | Message)[]).map((item) => itemOf(item, reader)),
      reader.language,
    );
  if (isMessage(value)) return textOf(value, reader);
  const { locale } = LANGUAGE_FILES[reader.language];
  if (Object.hasOwn(value, 'moment')) {
    const { moment, timeZone } = value as MomentValue;
    return momentInWords(moment, timeZone, reader.language);
  }
  if (Object.hasOwn(value, 'change')) return changeInWords(value as ChangeValue, reader.units, locale);
  const measure = value as MeasureValue;
  if (measure.rounding === undefined)
    return quantityInWords(quantityFor(measure, reader.units), reader.language);
  return measureInWords(measure, reader.units, locale);
}

/**
 * A quantity that is in the reader's units already, as it is read off in a bay.
 *
 * @example quantityInWords({ value: 0.1, unit: 'qt' }, 'es') // 'menos de 0.5 qt'
 */
export function quantityInWords(
  quantity: Quantity,
  language: Language,
  rounding: 'nearest' | 'down' = 'nearest',
): string {
  return quantityAsRead(quantity, rounding, (amount) =>
    textOf(message('quantity-less-than', { amount }), { language, units: null }),
  );
}

/** @example listed(['hose', 'clamp', 'cap'], 'en') // 'hose, clamp and cap' */
export function listed(
  items: readonly string[],
  language: Language,
  type: 'conjunction' | 'disjunction' = 'conjunction',
): string {
  const key = `${language} ${type}`;
  let format = lists.get(key);
  if (format === undefined) {
    // British lists have no comma before the "and", as the documents of this service write them.
    const locale = language === 'en' ? 'en-GB' : LANGUAGE_FILES[language].locale;
    format = new Intl.ListFormat(locale, { type });
    lists.set(key, format);
  }
  return format.format(items);
}
