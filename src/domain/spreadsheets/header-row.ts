import { SHEET_KINDS } from './fields.js';
import { fieldsNamed } from './header-names.js';
import { isEmpty, type SheetRow } from './sheet.js';

/** How far down a header is looked for. */
const LOOKED_AT = 60;

/**
 * Finds the row that names the columns: the one with the most names that are known here, below any
 * titles. Without a known name it is the first row of at least two texts. Null when there is no row
 * at all.
 */
export function headerRowOf(rows: readonly SheetRow[]): SheetRow | null {
  const looked = rows.slice(0, LOOKED_AT);
  let best: { row: SheetRow; names: number } | null = null;
  for (const row of looked) {
    const names = knownNames(row);
    if (names > (best?.names ?? 0)) best = { row, names };
  }
  const texts = (row: SheetRow): number =>
    row.cells.filter((cell) => typeof cell === 'string' && !isEmpty(cell)).length;
  return best?.row ?? looked.find((row) => texts(row) >= 2) ?? looked[0] ?? null;
}

/** The most columns of a row that are fields of one kind. A long text is no header. */
function knownNames({ cells }: SheetRow): number {
  const headers = cells.filter((cell): cell is string => typeof cell === 'string' && cell.length <= 60);
  const counts = SHEET_KINDS.map(
    (kind) => new Set(headers.flatMap((header) => fieldsNamed(header, kind)[0]?.field ?? [])).size,
  );
  return Math.max(0, ...counts);
}
