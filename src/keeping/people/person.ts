import { randomBytes } from 'node:crypto';
import { ConfigError } from '../../platform/config/config.js';
import { message } from './messages.js';

/** What a person is replaced by. It is random, so that nothing in it leads back to the name. */
const STAND_IN = /^forgotten-[0-9a-f]{12}$/;

/** A domain that can never receive mail (RFC 2606). */
const NO_DOMAIN = 'forgotten.invalid';

/** PostgreSQL regular expressions that find a person in text, ignoring case. */
export interface PersonPatterns {
  /** Matches names and sign-in subjects; null when none was given. */
  names: string | null;
  addresses: string | null;
  /** Matches everything that the others match, and more. Used to skip rows cheaply. */
  hint: string;
}

export function newStandIn(): string {
  return `forgotten-${randomBytes(6).toString('hex')}`;
}

export const isStandIn = (text: string): boolean => STAND_IN.test(text);

/** What an address is replaced by: it looks like an address, but leads nowhere. */
export const standInAddress = (standIn: string): string => `${standIn}@${NO_DOMAIN}`;

const ADDRESS = /^[^\s@]+@[^\s@]+$/;
/** Matches names of people. Anything else counts as the subject of a sign-in. */
const NAME = /^[\p{L}\p{M}\p{N}\s.'’-]+$/u;

const asName = (text: string): string => String.raw`(?<!\w)(?<!\w-)${text}(?!\w)(?!-\w)`;
const byItself = (text: string): string => String.raw`(?<![\w.+%|-])${text}(?![\w|-])(?!\.\w)`;

/**
 * Returns the patterns that find these people. A name is matched as whole words: "Ann Lee" is found
 * in "seen by ann lee." and in "Ann Lee's", but not in "Joann Lee" or "Ann Lee-Smith", who is
 * somebody else. An address or a subject is matched on its own: "ann@x.example" is not found in
 * "joann@x.example".
 *
 * @param people names, sign-in subjects and addresses
 * @throws ConfigError on a value too short to identify anybody
 */
export function patternsOf(people: readonly string[]): PersonPatterns {
  if (people.length === 0) throw new ConfigError(message('command-person-missing'));
  for (const value of people)
    if (longestRun(value).length < 2)
      throw new ConfigError(message('command-person-too-little', { given: value }));
  // Longest first, so that a value containing another is replaced as a whole.
  const sorted = forms(people).sort((a, b) => b.length - a.length);
  const addresses = sorted.filter((value) => ADDRESS.test(value)).map((value) => byItself(spaced(value)));
  const names = sorted
    .filter((value) => !ADDRESS.test(value))
    .map((value) => (NAME.test(value) ? asName : byItself)(spaced(value)));
  return {
    names: names.join('|') || null,
    addresses: addresses.join('|') || null,
    hint: sorted.map((value) => escaped(longestRun(value))).join('|'),
  };
}

/**
 * Returns the forms in which a text may be stored: accents combined with their letters, or
 * separate.
 */
function forms(values: readonly string[]): string[] {
  return [...new Set(values.flatMap((value) => [value.normalize('NFC'), value.normalize('NFD'), value]))];
}

/** Matches any number of spaces and line breaks between words. */
const spaced = (value: string): string =>
  value
    .trim()
    .split(/\s+/)
    .map(escaped)
    .join(String.raw`\s+`);

/** Returns the longest run of letters and digits, which is the same in JSON as in plain text. */
function longestRun(value: string): string {
  return (value.match(/[\p{L}\p{M}\p{N}]+/gu) ?? []).reduce((a, b) => (b.length > a.length ? b : a), '');
}

/** Escapes punctuation only: to PostgreSQL, a backslash before a letter means something else. */
const escaped = (text: string): string => text.replaceAll(/[!-/:-@[-`{-~]/g, String.raw`\$&`);
