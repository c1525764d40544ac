import type { Message } from '../../domain/message.js';
import { type DecimalMark, numberReadings } from '../../domain/spreadsheets/numbers.js';
import { quoted, type Read } from './cells.js';
import { message } from './messages.js';

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
