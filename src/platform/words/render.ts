import { IntlMessageFormat } from 'intl-messageformat';
import {
  type ChangeValue,
  isMessage,
  LEGACY,
  type MeasureValue,
  type Message,
  type MessageValue,
  type Words,
} from '../../domain/message.js';
import type { UnitSystem } from '../../domain/quantities/measures.js';
import { plain } from '../../domain/quantities/wording.js';
import { type Language, LANGUAGE_FILES } from './languages.js';
import { changeInWords, measureInWords, type ReadersUnits } from './quantity-words.js';

export { LEGACY };

/** For whom something is put into words. */
export interface Reader {
  readonly language: Language;
  readonly units: ReadersUnits;
}

/** A reader whose units are known. */
export interface UnitReader extends Reader {
  readonly units: UnitSystem;
}

/** Operators read the log, in English. */
export const IN_LOGS: Reader = { language: 'en', units: null };

const formats = new Map<string, IntlMessageFormat | null>();
const lists = new Map<string, Intl.ListFormat>();

/**
 * What a message says, in the reader's language and units. A code that no language has any more
 * tells itself, since an answer must not fail for want of words.
 */
export function textOf(words: Words, reader: Reader): string {
  if (typeof words === 'string') return words;
  if (words.code === LEGACY) return String(words.values['text'] ?? '');
  const format = formatOf(words.code, reader.language);
  if (format === null) return words.code;
  try {
    return String(format.format(argumentsOf(words, reader)));
  } catch {
    return words.code;
  }
}

/** All of several messages, in their order. */
export function textsOf(words: readonly Words[], reader: Reader): string[] {
  return words.map((said) => textOf(said, reader));
}

function formatOf(code: string, language: Language): IntlMessageFormat | null {
  const key = `${language} ${code}`;
  const known = formats.get(key);
  if (known !== undefined) return known;
  const { locale, messages } = LANGUAGE_FILES[language];
  if (!Object.hasOwn(messages, code)) return null;
  const format = new IntlMessageFormat(messages[code] ?? '', locale, undefined, { ignoreTag: true });
  formats.set(key, format);
  return format;
}

function argumentsOf({ values }: Message, reader: Reader): Record<string, string | number> {
  return Object.fromEntries(Object.entries(values).map(([name, value]) => [name, argumentOf(value, reader)]));
}

function argumentOf(value: MessageValue, reader: Reader): string | number {
  if (typeof value === 'string') return value;
  if (typeof value === 'number') return Number(plain(value));
  if (Array.isArray(value)) return listed(textsOf(value as Words[], reader), reader.language);
  if (isMessage(value)) return textOf(value, reader);
  const { locale } = LANGUAGE_FILES[reader.language];
  if (Object.hasOwn(value, 'change')) return changeInWords(value as ChangeValue, reader.units, locale);
  return measureInWords(value as MeasureValue, reader.units, locale);
}

/** @example listed(['hose', 'clamp', 'cap'], 'en') // 'hose, clamp and cap' */
function listed(items: readonly string[], language: Language): string {
  let format = lists.get(language);
  if (format === undefined) {
    // British lists have no comma before the "and", as the documents of this service write them.
    const locale = language === 'en' ? 'en-GB' : LANGUAGE_FILES[language].locale;
    format = new Intl.ListFormat(locale, { type: 'conjunction' });
    lists.set(language, format);
  }
  return format.format(items);
}
