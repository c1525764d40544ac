import { isEmpty, type SheetRow, textOfCell } from './sheet.js';

/** Why a row is probably no record. */
export const ODDITIES = ['total', 'note', 'repeated-header'] as const;
export type Oddity = (typeof ODDITIES)[number];

/** What totals are called, in English and Spanish. */
const TOTAL =
  /^(?:grand\s+|report\s+|fleet\s+)?(?:sub\s*-?\s*)?tota(?:l|ls|les)\b|^(?:average|avg|sum|count|promedio|suma|cuenta)\b/i;

/**
 * Why a row is probably no record: it repeats the header, its first cell names a total, or it is a
 * single text where records have several cells. Null for a row like the others.
 *
 * @param header the texts of the header
 * @param unitIndex the column of the unit number; null when none is known
 */
export function oddityOf(
  { cells }: SheetRow,
  header: readonly string[],
  unitIndex: number | null,
): Oddity | null {
  const filled = cells.flatMap((cell, index) =>
    isEmpty(cell) ? [] : [{ index, text: textOfCell(cell).trim() }],
  );
  const [first] = filled;
  if (first === undefined) return null;
  const named = header.filter((text) => text !== '').length;
  const same = filled.filter(({ index, text }) => text.toLowerCase() === header[index]?.toLowerCase()).length;
  if (named > 1 && same === filled.length && same >= named / 2) return 'repeated-header';
  const hasUnit = unitIndex !== null && !isEmpty(cells[unitIndex]);
  if (TOTAL.test(first.text) && (!hasUnit || first.index === unitIndex)) return 'total';
  const isLone = filled.length === 1 && named >= 3 && Number.isNaN(Number(first.text));
  return isLone && (!hasUnit || /\s/.test(first.text)) ? 'note' : null;
}
