import { convert, dimensionOf, type Unit } from '../quantities/units.js';
import type { Message } from '../message.js';
import { MEASURES } from '../quantities/measures.js';
import { type DateOrder, dateOfSerial, dateReadings, namedDate } from './dates.js';
import { fieldOf, type SheetField, type SheetKind } from './fields.js';
import { message } from './messages.js';
import { type DecimalMark, measuredIn, numberReadings } from './numbers.js';
import {
  type ColumnReading,
  isEmpty,
  plainNumber,
  type SheetCell,
  type SheetRow,
  textOfCell,
} from './sheet.js';

/** How the rows of a sheet become records. */
export interface RowMapping {
  kind: SheetKind;
  columns: readonly ColumnReading[];
  /** Whether the file counts days from 1904. */
  is1904: boolean;
  /** What is read in place of a text, by field and text. */
  replaced: Readonly<Record<string, Readonly<Record<string, string>>>>;
}

/** The cells of a row by field, as the imports read them. */
export interface MappedRow {
  row: number;
  /** Plain numbers with a decimal point, dates as YYYY-MM-DD, and texts as they are. */
  cells: Map<string, string>;
  /** As the file has them. */
  written: Map<string, string>;
  /** Cells that the mapping cannot read, and why. */
  unread: Map<string, Message>;
}

/** What people write where they know no number or day. */
const NOTHING = new Set([
  '-',
  '--',
  '—',
  '–',
  'n/a',
  'na',
  '#n/a',
  'none',
  'null',
  'unknown',
  'ninguno',
  'n/d',
  's/d',
  '?',
]);

/** Whether a cell says in words that it is empty. It counts as empty where a number or day is needed. */
export const saysNothing = (cell: SheetCell | undefined): boolean =>
  typeof cell === 'string' && NOTHING.has(cell.trim().toLowerCase());

/** An error that a spreadsheet shows in place of a value. */
const ERROR = /^#(?:REF!|DIV\/0!|VALUE!|NAME\?|NUM!|NULL!|N\/A|SPILL!|CALC!)$/;

type Read = { value: string | null } | { fault: Message };

/** Reads a row by its mapping. */
export function readRow(
  { row, cells }: SheetRow,
  { kind, columns, replaced, is1904 }: RowMapping,
): MappedRow {
  const mapped: MappedRow = { row, cells: new Map(), written: new Map(), unread: new Map() };
  for (const column of columns) {
    const field = fieldOf(kind, column.field);
    const cell = cells[column.index];
    if (field === null || isEmpty(cell)) continue;
    const text = textOfCell(cell).trim();
    const read = readCell(cell ?? null, field, { ...column, is1904 }, replaced[field.name] ?? {});
    if ('fault' in read) mapped.unread.set(field.name, read.fault);
    else if (read.value === null || read.value === '') continue;
    mapped.cells.set(field.name, 'fault' in read ? text : (read.value ?? ''));
    mapped.written.set(field.name, text);
  }
  return mapped;
}

function readCell(
  cell: SheetCell,
  { holds, measure }: SheetField,
  { unit, decimal, dateOrder, is1904 }: ColumnReading & { is1904: boolean },
  replaced: Readonly<Record<string, string>>,
): Read {
  const text = textOfCell(cell).trim();
  if (holds === 'number') return saysNothing(cell) ? { value: null } : numberOf(cell, measure, unit, decimal);
  if (holds === 'date' || holds === 'instant')
    return saysNothing(cell) ? { value: null } : dateOf(cell, holds, dateOrder, is1904);
  if (ERROR.test(text)) return { fault: message('sheet-cell-error', { given: text }) };
  // A day in a column of texts is nothing that somebody typed there.
  return { value: Object.hasOwn(replaced, text) ? (replaced[text] ?? '') : text };
}

function numberOf(
  cell: SheetCell,
  measure: SheetField['measure'],
  unit: Unit | null,
  decimal: DecimalMark | null,
): Read {
  if (typeof cell === 'number') return { value: plainNumber(cell) };
  const text = textOfCell(cell).trim();
  if (typeof cell !== 'string') return { fault: message('sheet-cell-not-number', { given: text }) };
  const dimension = measure === undefined ? null : dimensionOf(MEASURES[measure].canonical);
  const { number, unit: own } =
    dimension === null ? { number: text, unit: null } : measuredIn(text, dimension);
  const { point, comma } = numberReadings(number);
  const value = decimal === null ? (point === comma ? point : (point ?? comma)) : { point, comma }[decimal];
  if (value === null)
    return {
      fault:
        decimal === null || (point === null && comma === null)
          ? message('sheet-cell-not-number', { given: text })
          : message('sheet-cell-not-by-mark', { given: text, mark: decimal }),
    };
  if (decimal === null && point !== null && comma !== null && point !== comma)
    return { fault: message('sheet-cell-two-numbers', { given: text }) };
  return { value: plainNumber(own === null || unit === null ? value : near(convert(value, own, unit))) };
}

/** Hides what binary numbers add to a converted value. */
const near = (value: number): number => Number(value.toPrecision(12));

function dateOf(cell: SheetCell, holds: 'date' | 'instant', order: DateOrder | null, is1904: boolean): Read {
  const found = civilOf(cell, order, is1904);
  if ('fault' in found || found.value === null) return found;
  return { value: holds === 'date' ? found.value.replace(/[ T]00:00(?::00)?$/, '') : found.value };
}

/** A day as a spreadsheet counts it, between 1954 and 2119, which was saved as text. */
const COUNTED_DAY = /^[2-7]\d{4}(?:\.\d+)?$/;

function civilOf(cell: SheetCell, order: DateOrder | null, is1904: boolean): Read {
  const text = textOfCell(cell).trim();
  if (typeof cell === 'number' || COUNTED_DAY.test(text)) {
    const date = dateOfSerial(Number(text), is1904);
    return date === null ? { fault: message('sheet-cell-not-day', { given: text }) } : { value: date };
  }
  const readings = typeof cell === 'string' ? dateReadings(text) : null;
  if (readings === null) return { value: namedDate(text) ?? text };
  const { 'day-first': day, 'month-first': month, time } = readings;
  if (order === null && day !== null && month !== null && day !== month)
    return { fault: message('sheet-cell-two-days', { given: text, dayFirst: day, monthFirst: month }) };
  const date = order === null ? (day ?? month) : readings[order];
  if (date !== null) return { value: time === undefined ? date : `${date} ${time}` };
  if (day === null && month === null) return { fault: message('sheet-cell-no-such-day', { given: text }) };
  return {
    fault: message('sheet-cell-not-by-order', {
      given: text,
      comesFirst: order === 'day-first' ? 'day' : 'month',
    }),
  };
}
