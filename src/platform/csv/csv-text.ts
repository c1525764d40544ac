/** What stands between the cells of a row. */
export type Delimiter = ',' | ';' | '\t';

/**
 * What a spreadsheet would take for the beginning of a formula, in whatever width it is written, or
 * what would let one begin after it (OWASP, "CSV Injection").
 */
const FORMULA = '[=+\\-@\\t\\r\\n\\uFF1D\\uFF0B\\uFF0D\\uFF20]';
const NEEDS_GUARD = new RegExp(`^'*${FORMULA}`);
const IS_GUARDED = new RegExp(`^''*${FORMULA}`);

/**
 * Text with an apostrophe before what would be a formula; before other apostrophes there, too, so
 * that none is lost on the way back.
 */
export function guarded(text: string): string {
  return NEEDS_GUARD.test(text) ? `'${text}` : text;
}

/** The text that was guarded. */
export function unguarded(text: string): string {
  return IS_GUARDED.test(text) ? text.slice(1) : text;
}

/** What one cell holds. Numbers stay numbers, whatever their sign; text is guarded. */
export type Cell = string | number | boolean | null;

/** Without an exponent. */
const PLAIN = new Intl.NumberFormat('en-US', { useGrouping: false, maximumFractionDigits: 9 });

/**
 * Nine places behind the point and ten digits: hides what binary fractions add, and nothing that
 * was measured.
 */
function written(value: number): string {
  const rounded = Number((Math.round(value * 1e9) / 1e9).toPrecision(10));
  const text = rounded === 0 ? '0' : PLAIN.format(rounded);
  // With three decimals alone it could be read as thousands elsewhere.
  return /^-?[1-9]\d{0,2}\.\d{3}$/.test(text) ? `${text}0` : text;
}

function cellText(cell: Cell): string {
  if (cell === null) return '';
  if (typeof cell === 'number') return written(cell);
  if (typeof cell === 'boolean') return String(cell);
  const text = guarded(cell);
  return /[",\r\n\t;]|^\s|\s$/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}

/** One line of a CSV file (RFC 4180), with its end. */
export function csvLine(cells: readonly Cell[]): string {
  return `${cells.map(cellText).join(',')}\r\n`;
}
