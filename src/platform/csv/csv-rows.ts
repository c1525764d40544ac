import type { Message } from '../../domain/message.js';
import { unacceptable } from '../problems/problem.js';
import { fleetScope } from '../scope/fleet-scope.js';
import { type ColumnSet, matchHeader, type MatchedColumn } from './columns.js';
import { type Conventions, FileEvidence } from './conventions.js';
import { type Delimiter, unguarded } from './csv-text.js';
import type { ImportQuery } from './import.dto.js';
import type { ImportReport } from './import-report.js';
import { delimiterOf, isBlank, type RawRow, rawRows, refused, startOf } from './raw-rows.js';
import { rowFault } from './row-fault.js';
import type { Upload } from './upload.js';
import { message } from './messages.js';

export const MAX_ROWS = 100_000;
/** The cells of one row, by column. Empty cells are left out. */
export interface CsvRow {
  /** The line of the file where the row begins, from 1. */
  line: number;
  cells: ReadonlyMap<string, string>;
  /** Cells that are known to be unreadable, and why. */
  unread?: ReadonlyMap<string, Message>;
  /** The cells as the file has them, where `cells` says it otherwise. */
  written?: ReadonlyMap<string, string>;
}

/** A file with a valid header. */
export interface CsvTable {
  conventions: Conventions;
  columns: ReadonlyMap<string, MatchedColumn>;
  /** The rows in chunks. May be called more than once. */
  chunks(size: number): AsyncGenerator<CsvRow[]>;
}

/**
 * Reads the whole file before the first row is used: counts the rows, and finds out how numbers and
 * dates are written. The order of the rows does not matter.
 *
 * @throws Problem 422 when there are too many rows
 */
async function survey(
  upload: Upload,
  delimiter: Delimiter,
  columns: readonly MatchedColumn[],
): Promise<FileEvidence> {
  const evidence = new FileEvidence();
  let headers: string[] | null = null;
  let count = 0;
  for await (const raw of rawRows(upload, delimiter)) {
    if (headers === null) {
      headers = raw.cells;
      continue;
    }
    if (isBlank(raw)) continue;
    if (++count > MAX_ROWS)
      throw refused({
        line: raw.line,
        detail: message('file-too-many-rows', { most: MAX_ROWS }),
      });
    if (rowFault(raw.cells, headers, columns, delimiter) === null) evidence.see(raw.line, raw.cells, columns);
  }
  return evidence;
}

/** The first row of the file. @throws Problem 422 when there is none */
async function headerOf(upload: Upload, delimiter: Delimiter): Promise<RawRow> {
  const source = rawRows(upload, delimiter);
  const first = await source.next();
  await source.return(undefined);
  if (first.done) throw refused({ detail: message('file-empty') });
  return first.value;
}

/**
 * Reads the header of a file, and finds out how its numbers and dates are written.
 *
 * @param asked how the request says they are written
 * @param report gets every row, and the faults of rows that cannot be read
 * @throws Problem 422 when the whole file must be refused
 */
export async function openTable(
  upload: Upload,
  set: ColumnSet,
  asked: Pick<ImportQuery, 'decimal' | 'dateOrder'>,
  report: ImportReport,
): Promise<CsvTable> {
  const delimiter = delimiterOf(await startOf(upload));
  const header = await headerOf(upload, delimiter);
  const matched = matchHeader(header.cells, set, fleetScope().units);
  report.understood(upload.encoding, delimiter, matched.columns);
  for (const notice of matched.notices) report.notice({ line: header.line, ...notice });
  if (matched.faults.length > 0)
    throw unacceptable(matched.faults.map((fault) => ({ ...fault, line: header.line })));
  const known = (await survey(upload, delimiter, matched.columns)).verdict(asked);
  report.readBy(known);
  let isCounted = false;
  return {
    conventions: { decimal: known.decimal.value, dateOrder: known.dateOrder.value },
    columns: new Map(matched.columns.map((column) => [column.column, column])),
    chunks(size) {
      const toldOnce = isCounted ? null : report;
      isCounted = true;
      return chunksOf(
        size,
        rowsUnder(header, rawRows(upload, delimiter), matched.columns, delimiter, toldOnce),
      );
    },
  };
}

/**
 * The rows below the header that fit it.
 *
 * @param report gets each row and fault; null on a repeated read, when it has them already
 * @throws Problem 422 when there are no rows
 */
async function* rowsUnder(
  header: RawRow,
  rows: AsyncIterable<RawRow>,
  columns: readonly MatchedColumn[],
  delimiter: Delimiter,
  report: ImportReport | null,
): AsyncGenerator<CsvRow> {
  const headers = header.cells.map((cell) => cell.trim().slice(0, 60));
  let isHeader = true;
  let isEmpty = true;
  for await (const raw of rows) {
    if (isHeader) {
      isHeader = false;
      continue;
    }
    if (isBlank(raw)) continue;
    isEmpty = false;
    if (report) report.rows++;
    const fault = rowFault(raw.cells, headers, columns, delimiter);
    if (fault) report?.reject(raw.line, [fault]);
    else yield rowOf(raw, columns);
  }
  if (isEmpty)
    throw refused({
      line: header.line,
      detail: message('file-without-rows'),
    });
}

async function* chunksOf(size: number, rows: AsyncIterable<CsvRow>): AsyncGenerator<CsvRow[]> {
  let chunk: CsvRow[] = [];
  for await (const row of rows) {
    chunk.push(row);
    if (chunk.length < size) continue;
    yield chunk;
    chunk = [];
  }
  if (chunk.length > 0) yield chunk;
}

function rowOf({ line, cells }: RawRow, columns: readonly MatchedColumn[]): CsvRow {
  const known = new Map<string, string>();
  for (const { column, index } of columns) {
    const cell = cells[index] ?? '';
    if (cell.trim() !== '') known.set(column, unguarded(cell));
  }
  return { line, cells: known };
}
