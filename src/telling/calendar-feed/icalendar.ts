/** Writing iCalendar, RFC 5545 (the section is named at each rule). */

import { printable } from '../../platform/words/printable.js';

const MAX_OCTETS = 75;

/**
 * TEXT (3.3.11): what would end a value is escaped. Control characters, which it may not hold, and
 * marks that change the direction of writing become spaces.
 */
export function escapeText(text: string): string {
  const escaped = text
    .replaceAll('\\', '\\\\')
    .replaceAll(/[;,]/g, '\\$&')
    .replaceAll(/\r\n|\r|\n/g, '\\n');
  return printable(escaped);
}

/**
 * A content line of at most 75 octets a piece (3.1), the pieces joined by a line break and a space.
 * No character is cut in two.
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
      // The space that begins a further piece is one of its octets.
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
 * DURATION (3.3.6) from the start of a day to an hour of a day before it.
 *
 * @param days how many days before; 0 for the day itself
 * @param hour of that day, 1 to 23
 * @example hourOfDayBefore(29, 8) // '-P28DT16H'
 */
export function hourOfDayBefore(days: number, hour: number): string {
  return days === 0 ? `PT${hour}H` : `-P${days > 1 ? `${days - 1}D` : ''}T${24 - hour}H`;
}

/** Content lines as they go out (3.1): folded, each ended by a line break. */
export const contentLines = (lines: readonly string[]): string =>
  lines.map((line) => `${fold(line)}\r\n`).join('');
