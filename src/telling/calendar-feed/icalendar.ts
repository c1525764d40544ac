/** Maximum length of a line in iCalendar (RFC 5545; each rule below names its section). */

import { printable } from '../../platform/words/printable.js';

const MAX_OCTETS = 75;

/**
 * TEXT (3.3.11): escapes characters that would end a value. Turns control characters, which are not
 * allowed, and marks that change the direction of writing into spaces.
 */
export function escapeText(text: string): string {
  const escaped = text
    .replaceAll('\\', '\\\\')
    .replaceAll(/[;,]/g, '\\$&')
    .replaceAll(/\r\n|\r|\n/g, '\\n');
  return printable(escaped);
}

/**
 * Folds a content line (3.1): pieces of at most 75 octets, joined by a line break and a space.
 * Never splits a character.
 *
 * @example fold('SUMMARY:short') // 'SUMMARY:short'
 */
export function fold(line: string): string {
  if (line.length <= MAX_OCTETS && Buffer.byteLength(line) <= MAX_OCTETS) return line;
  const pieces: string[] = [];
  let piece = '';
  let octets = 0;
  for (const character of line) {
    const size = Buffer.byteLength(character);
    if (octets + size > MAX_OCTETS) {
      pieces.push(piece);
      // The space at the start of a further piece counts as an octet.
      piece = '';
      octets = 1;
    }
    piece += character;
    octets += size;
  }
  pieces.push(piece);
  return pieces.join('\r\n ');
}

/** A property whose value is TEXT. */
export const text = (name: string, value: string): string => `${name}:${escapeText(value)}`;

/** DATE (3.3.4). @example dateOf('2026-03-30') // '20260330' */
export const dateOf = (day: string): string => day.replaceAll('-', '');

/** DATE-TIME in UTC, form 2 (3.3.5). */
export const instantOf = (at: Date): string => at.toISOString().replaceAll(/[-:]|\.\d+/g, '');

/**
 * DURATION (3.3.6) from the start of a day to an hour on an earlier day.
 *
 * @param days how many days earlier; 0 for the day itself
 * @param hour hour of that earlier day, 1 to 23
 * @example hourOfDayBefore(29, 8) // '-P28DT16H'
 */
export function hourOfDayBefore(days: number, hour: number): string {
  return days === 0 ? `PT${hour}H` : `-P${days > 1 ? `${days - 1}D` : ''}T${24 - hour}H`;
}

/** Content lines in their final form (3.1): folded, each with a line break. */
export const contentLines = (lines: readonly string[]): string =>
  lines.map((line) => `${fold(line)}\r\n`).join('');
