/** What separates the cells of a row. */
export type Delimiter = ',' | ';' | '\t' | '|';

/**
 * Characters that make a spreadsheet read a cell as a formula, full-width forms included, or that
 * let a formula begin after them (OWASP, "CSV Injection").
 */
const FORMULA = '[=+\\-@\\t\\r\\n\\uFF1D\\uFF0B\\uFF0D\\uFF20]';
const NEEDS_GUARD = new RegExp(`^'*${FORMULA}`);
const IS_GUARDED = new RegExp(`^''*${FORMULA}`);

/**
 * Puts an apostrophe in front of text that a spreadsheet would read as a formula. Text that already
 * has apostrophes there gets one more, so that `unguarded` restores it exactly.
 */
export function guarded(text: string): string {
  return NEEDS_GUARD.test(text) ? `'${text}` : text;
}

/** Restores the text that `guarded` changed. */
export function unguarded(text: string): string {
  return IS_GUARDED.test(text) ? text.slice(1) : text;
}

/** The content of one cell. Numbers are written as they are, negative ones too; text is guarded. */
export type Cell = string | number | boolean | null;

/** Formats a number without an exponent. */
const PLAIN = new Intl.NumberFormat('en-US', { useGrouping: false, maximumFractionDigits: 9 });

/**
 * Writes a number with at most nine decimals and ten significant digits. This hides binary rounding
 * errors and loses nothing that was measured.
 */
function written(value: number): string {
  const rounded = Number((Math.round(value * 1e9) / 1e9).toPrecision(10));
  const text = rounded === 0 ? '0' : PLAIN.format(rounded);
  // Some countries would read exactly three decimals as thousands.
  return /^-?[1-9]\d{0,2}\.\d{3}$/.test(text) ? `${text}0` : text;
}

function cellText(cell: Cell): string {
  if (cell === null) return '';
  if (typeof cell === 'number') return written(cell);
  if (typeof cell === 'boolean') return String(cell);
  const text = guarded(cell);
  return /[",\r\n\t;]|^\s|\s$/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}

/** One line of a CSV file (RFC 4180), with its line end. */
export function csvLine(cells: readonly Cell[]): string {
  return `${cells.map(cellText).join(',')}\r\n`;
}
