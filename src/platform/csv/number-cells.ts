import type { Message } from '../../domain/message.js';
import { quoted, type Read } from './cells.js';
import { message } from './messages.js';

/** Whether a point or a comma comes before the decimals. The other one may separate thousands. */
export const DECIMAL_MARKS = ['point', 'comma'] as const;
export type DecimalMark = (typeof DECIMAL_MARKS)[number];

/**
 * Characters that can only separate thousands: spaces (plain, no-break, thin, narrow no-break) and
 * apostrophes.
 */
const SPACE = '[ \\u00a0\\u2009\\u202f]';
const APOSTROPHE = "['\\u2019]";

/**
 * Matches a number in one convention. Only one kind of mark separates thousands, in groups of three
 * digits. `0,370` has no thousands, because nobody writes zero thousand. `081,370` may have them,
 * because odometers show leading zeros.
 */
function numberPattern(decimal: string, thousands: string): RegExp {
  const grouped = [thousands, SPACE, APOSTROPHE].map((mark) => `(?!0${mark})\\d{1,3}(?:${mark}\\d{3})+`);
  return new RegExp(`^[+\\-\\u2212]?(?:\\d+|${grouped.join('|')}|(?=${decimal}))(?:${decimal}\\d+)?$`);
}

const PATTERNS: Record<DecimalMark, RegExp> = {
  point: numberPattern('\\.', ','),
  comma: numberPattern(',', '\\.'),
};

function readWith(mark: DecimalMark, cell: string): number | null {
  if (!PATTERNS[mark].test(cell)) return null;
  const [decimal, thousands] = mark === 'point' ? ['.', ','] : [',', '.'];
  const plain = cell
    .replaceAll(/[ \u00a0\u2009\u202f'\u2019]/g, '')
    .replaceAll(thousands, '')
    .replace(decimal, '.')
    .replace('\u2212', '-');
  const value = Number(plain);
  return Number.isFinite(value) ? value : null;
}

/** Reads a cell in each convention; null where it is not a number. */
export function numberReadings(text: string): Record<DecimalMark, number | null> {
  const cell = text.trim();
  return { point: readWith('point', cell), comma: readWith('comma', cell) };
}

/** The only decimal mark that makes a cell a number; null when both do or neither does. */
export function decimalMarkOf(text: string): DecimalMark | null {
  const { point, comma } = numberReadings(text);
  if ((point === null) === (comma === null)) return null;
  return point === null ? 'comma' : 'point';
}

/**
 * Reads a number from a cell.
 *
 * @param decimal the decimal mark of the file; when it is null, a number that can be read in two
 *   ways is a fault
 */
export function numberIn(text: string, decimal: DecimalMark | null): Read<number> {
  const cell = text.trim();
  const { point, comma } = numberReadings(cell);
  const value = decimal === null ? (point ?? comma) : { point, comma }[decimal];
  const isDoubtful = decimal === null && point !== null && comma !== null && point !== comma;
  if (isDoubtful) return { fault: twoReadings(cell, point, comma) };
  if (value !== null) return { value };
  const given = quoted(cell);
  // Neither mark makes it a number. If only the other mark does, the message below says so.
  if (decimal === null || (point === null && comma === null))
    return { fault: message('cell-not-number', { given, has: strangerIn(cell) }) };
  return { fault: message('cell-not-number-by-mark', { given, mark: decimal }) };
}

function twoReadings(cell: string, point: number, comma: number): Message {
  const isComma = cell.includes(',');
  const [whole, fraction] = isComma ? [point, comma] : [comma, point];
  return message('cell-number-unclear', {
    given: quoted(cell),
    mark: isComma ? 'comma' : 'point',
    whole: String(whole),
    fraction: String(fraction),
    asFraction: `${cell}0`,
    byPoint: String(point),
    byComma: String(comma),
  });
}

/** Finds what keeps a cell from being a number in any country. */
function strangerIn(cell: string): 'exponent' | 'percent' | 'unit' | 'none' {
  if (/^[+-]?[\d.,]+e[+-]?\d+$/i.test(cell)) return 'exponent';
  if (cell.endsWith('%')) return 'percent';
  return /^[+-]?\d[\d.,' ]*[a-z°]+$/i.test(cell) ? 'unit' : 'none';
}
