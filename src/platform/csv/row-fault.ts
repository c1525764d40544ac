import { UNSTORABLE } from '../input/json-body.js';
import type { MatchedColumn } from './columns.js';
import type { Delimiter } from './csv-text.js';

/**
 * Why the cells of a row cannot be told apart, or hold what is not text; null when they can be
 * read.
 */
export function rowFault(
  cells: readonly string[],
  headers: readonly string[],
  columns: readonly MatchedColumn[],
  delimiter: Delimiter,
): { column: string; detail: string } | null {
  if (cells.length < headers.length)
    return {
      column: headers[cells.length] ?? '',
      detail: `the row has ${cells.length} cells where the header names ${headers.length} columns`,
    };
  if (cells.slice(headers.length).some((cell) => cell.trim() !== ''))
    return {
      column: headers.at(-1) ?? '',
      detail: `the row has ${cells.length} cells where the header names ${headers.length} columns: is a cell not quoted that holds the separator?`,
    };
  const torn = delimiter === ',' && cells.length > headers.length ? tornNumber(cells, columns) : null;
  if (torn) return torn;
  const bad = cells.findIndex((cell) => UNSTORABLE.test(cell));
  return bad === -1
    ? null
    : {
        column: headers[bad] ?? '',
        detail: 'has a character that is not text (a NUL or half of a surrogate pair)',
      };
}

/** In a row with more cells than columns: a number that its own comma may have split in two. */
function tornNumber(
  cells: readonly string[],
  columns: readonly MatchedColumn[],
): { column: string; detail: string } | null {
  const isDigits = (index: number): boolean => /^[+-]?\d+$/.test((cells[index] ?? '').trim());
  const torn = columns.find(
    ({ holds, index }) => holds === 'number' && isDigits(index) && isDigits(index + 1),
  );
  if (!torn) return null;
  const [left, right] = [cells[torn.index]?.trim(), cells[torn.index + 1]?.trim()];
  return {
    column: torn.header,
    detail: `the row has more cells than the header names columns, and "${left},${right}" may be one number that its comma split in two: quote it, or take out the cells after the last column`,
  };
}
