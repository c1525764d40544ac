import type { Unit } from '../quantities/units.js';
import type { DateOrder } from './dates.js';
import type { DecimalMark } from './numbers.js';

/**
 * A cell as its file holds it: text, a number, yes or no, or a day with or without a time
 * (`2021-03-14`, `2021-03-14 07:31`). Null when it is empty.
 */
export type SheetCell = string | number | boolean | { at: string } | null;

/** A row of a sheet. */
export interface SheetRow {
  /** The row's number in the file, from 1. */
  row: number;
  cells: readonly SheetCell[];
}

/** The cell of a file that shows something, with its text. */
export interface SeenCell {
  row: number;
  value: string;
}

/** What a column of a file is, and how its cells are read. */
export interface ColumnReading {
  /** From 0. */
  index: number;
  field: string;
  unit: Unit | null;
  decimal: DecimalMark | null;
  dateOrder: DateOrder | null;
}

/** Formats a number without an exponent, with every digit that it has. */
const PLAIN = new Intl.NumberFormat('en-US', { useGrouping: false, maximumFractionDigits: 20 });

/** A number as a cell that has a decimal point. @example plainNumber(1e21) // '1000000000000000000000' */
export function plainNumber(value: number): string {
  return PLAIN.format(value).replace(/^-0$/, '0');
}

/** The text of a cell, as people read it. */
export function textOfCell(cell: SheetCell | undefined): string {
  if (cell === null || cell === undefined) return '';
  if (typeof cell === 'object') return cell.at;
  return typeof cell === 'number' ? plainNumber(cell) : String(cell);
}

/** Whether a cell holds nothing that a person would see. */
export function isEmpty(cell: SheetCell | undefined): boolean {
  return cell === null || cell === undefined || (typeof cell === 'string' && cell.trim() === '');
}

const LETTERS = 26;

/** The letters by which people name a column. @example columnName(27) // 'AB' */
export function columnName(index: number): string {
  const letter = String.fromCodePoint(65 + (index % LETTERS));
  return index < LETTERS ? letter : columnName(Math.floor(index / LETTERS) - 1) + letter;
}

/** The column that letters name, from 0; null for anything else. @example columnIndex('AB') // 27 */
export function columnIndex(name: string): number | null {
  if (!/^[A-Z]{1,3}$/i.test(name)) return null;
  const past = [...name.toUpperCase()].reduce((sum, letter) => sum * LETTERS + letter.charCodeAt(0) - 64, 0);
  return past - 1;
}
