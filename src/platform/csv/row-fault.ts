import type { Message } from '../../domain/message.js';
import { notStorable, UNSTORABLE } from '../input/json-body.js';
import type { MatchedColumn } from './columns.js';
import type { Delimiter } from './csv-text.js';
import { message } from './messages.js';

/**
 * Why a row cannot be read: wrong number of cells, or characters that are not text. Null when it
 * can be read.
 */
export function rowFault(
  cells: readonly string[],
  headers: readonly string[],
  columns: readonly MatchedColumn[],
  delimiter: Delimiter,
): { column: string; detail: Message } | null {
  const counts = { cells: cells.length, columns: headers.length };
  if (cells.length < headers.length)
    return { column: headers[cells.length] ?? '', detail: message('row-too-short', counts) };
  if (cells.slice(headers.length).some((cell) => cell.trim() !== ''))
    return { column: headers.at(-1) ?? '', detail: message('row-too-long', counts) };
  const torn = delimiter === ',' && cells.length > headers.length ? tornNumber(cells, columns) : null;
  if (torn) return torn;
  const bad = cells.findIndex((cell) => UNSTORABLE.test(cell));
  return bad === -1 ? null : { column: headers[bad] ?? '', detail: notStorable() };
}

/** In a row with too many cells, finds a number that its own comma may have split in two. */
function tornNumber(
  cells: readonly string[],
  columns: readonly MatchedColumn[],
): { column: string; detail: Message } | null {
  const isDigits = (index: number): boolean => /^[+-]?\d+$/.test((cells[index] ?? '').trim());
  const torn = columns.find(
    ({ holds, index }) => holds === 'number' && isDigits(index) && isDigits(index + 1),
  );
  if (!torn) return null;
  const [left = '', right = ''] = [cells[torn.index]?.trim(), cells[torn.index + 1]?.trim()];
  return { column: torn.header, detail: message('row-number-split', { left, right }) };
}
