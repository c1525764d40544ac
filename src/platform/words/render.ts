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
import {
  changeInWords,
  measureInWords,
  numberInWords,
  quantityFor,
  type ReadersUnits,
} from './quantity-words.js';

/** The reader of a text: language and units. */
export interface Reader {
  readonly language: Language;
  readonly units: ReadersUnits;
}

/** A reader whose units are known. */
export interface UnitReader extends Reader {
  readonly units: UnitSystem;
}

/** The reader of logs: English, with units as typed. */
export const IN_LOGS: Reader = { language: 'en', units: null };

/** Number formats and plural rules are expensive to make, so all messages share them. */
const numbers = new Map<string, Intl.NumberFormat>();
const plurals = new Map<string, Intl.PluralRules>();

function shared<T>(known: Map<string, T>, key: unknown, make: () => T): T {
  const name = JSON.stringify(key);
  const found = known.get(name) ?? make();
  known.set(name, found);
  return found;
}

/**
 * A number is rounded before it gets here (`plain`). On its own, Intl drops what is below 0.0005.
 */
const ALL_DECIMALS: Intl.NumberFormatOptions = { maximumFractionDigits: 20 };

const OPTIONS = {
  ignoreTag: true,
  formatters: {
    getNumberFormat: (
      locales?: ConstructorParameters<typeof Intl.NumberFormat>[0],
      options: Intl.NumberFormatOptions = ALL_DECIMALS,
    ) => shared(numbers, [locales, options], () => new Intl.NumberFormat(locales, options)),
    getDateTimeFormat: (...given: ConstructorParameters<typeof Intl.DateTimeFormat>) =>
      new Intl.DateTimeFormat(...given),
    getPluralRules: (...given: ConstructorParameters<typeof Intl.PluralRules>) =>
      shared(plurals, given, () => new Intl.PluralRules(...given)),
  },
};

/** Parsed messages by language and code. A message without parameters is kept as its text. */
const formats = new Map<string, IntlMessageFormat | string>();
const lists = new Map<string, Intl.ListFormat>();

/** Hears of each message that could not be rendered. */
export type UntoldListener = (code: string, why: unknown) => void;
let onUntold: UntoldListener = () => undefined;

/**
 * Sets who hears of messages that cannot be rendered. This module also runs where there is no log.
 */
export function listenForUntold(listener: UntoldListener): void {
  onUntold = listener;
}

/**
 * Renders a message in the reader's language and units. Returns the code itself if its text is
 * missing or fails, because that must not make an answer fail.
 */
export function textOf(said: Message, reader: Reader): string {
  const { code, values } = said;
  if (code === LEGACY) return typeof values['text'] === 'string' ? values['text'] : code;
  try {
    const format = formatOf(code, reader.language);
    if (format === null) throw new Error(`There is no text for it in ${reader.language}`);
    return typeof format === 'string' ? format : String(format.format(argumentsOf(said, reader)));
  } catch (error) {
    onUntold(code, error);
    return code;
  }
}

/** Renders several messages, in order. */
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
 * Writes a quantity that is already in the reader's units, rounded as it would be read off in the
 * workshop.
 *
 * @example quantityInWords({ value: 0.1, unit: 'qt' }, 'es') // 'menos de 0.5 qt'
 */
export function quantityInWords(
  quantity: Quantity,
  language: Language,
  rounding: 'nearest' | 'down' = 'nearest',
): string {
  const { locale } = LANGUAGE_FILES[language];
  return quantityAsRead(
    quantity,
    rounding,
    (amount) => textOf(message('quantity-less-than', { amount }), { language, units: null }),
    (number) => numberInWords(number, locale),
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
    // British lists have no comma before the "and", and neither do this service's texts.
    const locale = language === 'en' ? 'en-GB' : LANGUAGE_FILES[language].locale;
    format = new Intl.ListFormat(locale, { type });
    lists.set(key, format);
  }
  return format.format(items);
}
