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
/** One row of the file: what stands in each known column. An empty cell is not there. */
export interface CsvRow {
  /** The line of the file on which it begins, from 1. */
  line: number;
  cells: ReadonlyMap<string, string>;
}

/** A file whose header was understood. */
export interface CsvTable {
  conventions: Conventions;
  columns: ReadonlyMap<string, MatchedColumn>;
  /** The rows, some at a time; may be read more than once. */
  chunks(size: number): AsyncGenerator<CsvRow[]>;
}

/**
 * Looks through the whole file before anything is done with its first row: how many rows there
 * are, and how its numbers and dates are written. The order of the rows tells nothing.
 *
 * @throws Problem 422 where there are too many
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

/** The first row that stands in the file. @throws Problem 422 where there is none */
async function headerOf(upload: Upload, delimiter: Delimiter): Promise<RawRow> {
  const source = rawRows(upload, delimiter);
  const first = await source.next();
  await source.return(undefined);
  if (first.done) throw refused({ detail: message('file-empty') });
  return first.value;
}

/**
 * Understands the header of a file, and how its numbers and dates are written.
 *
 * @param asked how the sender says they are written
 * @param report told of every row, and of those whose cells cannot be read
 * @throws Problem 422 where the file as a whole cannot be taken
 */
export async function openTable(
  upload: Upload,
  set: ColumnSet,
  asked: Pick<ImportQuery, 'decimal' | 'dateOrder'>,
  report: ImportReport,
): Promise<CsvTable> {
  if (upload.encoding === 'utf-16') throw refused({ detail: message('file-in-utf-16') });
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
 * The rows below the header whose cells fit it.
 *
 * @param report told of each row and fault; null where it has been told before
 * @throws Problem 422 where there are none
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
