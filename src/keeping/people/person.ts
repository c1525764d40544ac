import { randomBytes } from 'node:crypto';

/** What a person is replaced by; drawn at random, so that nothing in it leads back to the name. */
const STAND_IN = /^forgotten-[0-9a-f]{12}$/;

/** A domain that no mail can ever reach (RFC 2606). */
const NO_DOMAIN = 'forgotten.invalid';

/**
 * Words of a person, as regular expressions of PostgreSQL that find them in text whatever their
 * case.
 */
export interface PersonPatterns {
  /** Of names and subjects of sign-ins; null where none was given. */
  names: string | null;
  addresses: string | null;
  /** Finds everything that the others may find, and more: for leaving rows out cheaply. */
  hint: string;
}

export function newStandIn(): string {
  return `forgotten-${randomBytes(6).toString('hex')}`;
}

export const isStandIn = (text: string): boolean => STAND_IN.test(text);

/** What stands where an address stood; it looks like one, and leads nowhere. */
export const standInAddress = (standIn: string): string => `${standIn}@${NO_DOMAIN}`;

const ADDRESS = /^[^\s@]+@[^\s@]+$/;
/** What people are called; anything else is the subject of a sign-in. */
const NAME = /^[\p{L}\p{M}\p{N}\s.'’-]+$/u;

const asName = (text: string): string => String.raw`(?<!\w)(?<!\w-)${text}(?!\w)(?!-\w)`;
const byItself = (text: string): string => String.raw`(?<![\w.+%|-])${text}(?![\w|-])(?!\.\w)`;

/**
 * What to look for. A name is found as whole words: "Ann Lee" in "seen by ann  lee." and "Ann
 * Lee's", and neither in "Joann Lee" nor in "Ann Lee-Smith", who is somebody else. An address or
 * a subject is found where it stands by itself: "ann@x.example" not in "joann@x.example".
 *
 * @param people names, subjects of sign-ins and addresses
 * @throws RangeError on a value by which nobody could be told apart
 */
export function patternsOf(people: readonly string[]): PersonPatterns {
  if (people.length === 0) throw new RangeError('nobody is named');
  for (const value of people)
    if (longestRun(value).length < 2)
      throw new RangeError(
        `"${value}" is too little to tell a person by; two letters or digits together are needed`,
      );
  // The longer first: what contains another is to be replaced whole.
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
 * The forms in which one text may be stored: an accent may be part of its letter, or stand beside
 * it.
 */
function forms(values: readonly string[]): string[] {
  return [...new Set(values.flatMap((value) => [value.normalize('NFC'), value.normalize('NFD'), value]))];
}

/** However many spaces there are, or line ends. */
const spaced = (value: string): string =>
  value
    .trim()
    .split(/\s+/)
    .map(escaped)
    .join(String.raw`\s+`);

/** The longest run of letters and digits, which stands as it is in JSON as well. */
function longestRun(value: string): string {
  return (value.match(/[\p{L}\p{M}\p{N}]+/gu) ?? []).reduce((a, b) => (b.length > a.length ? b : a), '');
}

/** As PostgreSQL reads it: a backslash before a letter would mean something else. */
const escaped = (text: string): string => text.replaceAll(/[!-/:-@[-`{-~]/g, String.raw`\$&`);
