import { type CsvError, type InfoRecord, parse } from 'csv-parse';
import { pipeline, Readable } from 'node:stream';
import { type FieldFault, unacceptable } from '../problems/problem.js';
import { fleetScope } from '../scope/fleet-scope.js';
import { type ColumnSet, matchHeader, type MatchedColumn } from './columns.js';
import { type Conventions, FileEvidence } from './conventions.js';
import { type Delimiter, unguarded } from './csv-text.js';
import type { ImportQuery } from './import.dto.js';
import type { ImportReport } from './import-report.js';
import { rowFault } from './row-fault.js';
import type { Upload } from './upload.js';

export const MAX_ROWS = 100_000;
/** Longer than any row; where one is, a quote was not closed. */
const MAX_ROW_CHARACTERS = 64 * 1024;

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

interface RawRow {
  line: number;
  cells: string[];
}

function refused(fault: FieldFault): Error {
  return unacceptable([fault]);
}

async function* textOf(upload: Upload): AsyncGenerator<string> {
  // A byte order mark is dropped by the decoder.
  const decoder = new TextDecoder(upload.encoding);
  for await (const chunk of upload.read()) {
    const text = decoder.decode(chunk, { stream: true });
    if (text !== '') yield text;
  }
  const rest = decoder.decode();
  if (rest !== '') yield rest;
}

/** The delimiter that stands most often outside quotes in the first line, or the one that a line `sep=;` names. */
export function delimiterOf(start: string): Delimiter {
  const named = /^sep=([,;\t])\r?\n?/i.exec(start)?.[1];
  if (named) return named as Delimiter;
  const counts: Record<Delimiter, number> = { ',': 0, ';': 0, '\t': 0 };
  let isQuoted = false;
  for (const character of start) {
    if (character === '"') isQuoted = !isQuoted;
    else if (isQuoted) continue;
    else if (character === '\n' || character === '\r') break;
    else if (character in counts) counts[character as Delimiter]++;
  }
  return (Object.keys(counts) as Delimiter[]).reduce((best, next) =>
    counts[next] > counts[best] ? next : best,
  );
}

const LINE_ENDS = /\r\n|\n|\r/g;

const countIn = (cells: readonly string[], what: RegExp): number =>
  cells.reduce((count, cell) => count + (cell.match(what)?.length ?? 0), 0);

function structureFault(error: CsvError, line: number): FieldFault {
  switch (error.code) {
    case 'CSV_QUOTE_NOT_CLOSED':
      return { line, detail: 'The row that begins here opens a quote that is never closed' };
    case 'CSV_MAX_RECORD_SIZE':
      return {
        line,
        detail: `The row that begins here is longer than ${MAX_ROW_CHARACTERS} characters: is a closing quote missing?`,
      };
    default:
      return { line, detail: `The row that begins here cannot be read as CSV: ${error.message}` };
  }
}

/** The rows as they stand in the file. @throws Problem 422 where the file stops being CSV */
async function* rawRows(upload: Upload, delimiter: Delimiter): AsyncGenerator<RawRow> {
  const parser = parse({
    delimiter,
    info: true,
    record_delimiter: ['\r\n', '\n', '\r'],
    relax_column_count: true,
    relax_quotes: true,
    skip_empty_lines: true,
    max_record_size: MAX_ROW_CHARACTERS,
  });
  // The error comes out of the parser, too.
  pipeline(Readable.from(textOf(upload)), parser, () => undefined);
  let ended = 0;
  // The parser takes the two characters of a line end inside quotes for two lines.
  let countedTwice = 0;
  try {
    for await (const { record, info } of parser as AsyncIterable<{ record: string[]; info: InfoRecord }>) {
      const isNamingDelimiter = ended === 0 && /^sep=/i.test(record[0] ?? '');
      countedTwice += countIn(record, /\r\n/g);
      ended = info.lines - countedTwice;
      if (!isNamingDelimiter) yield { line: ended - countIn(record, LINE_ENDS), cells: record };
    }
  } catch (error) {
    if (!(error instanceof Error) || !((error as Partial<CsvError>).code ?? '').startsWith('CSV_'))
      throw error;
    throw refused(structureFault(error as CsvError, ended + 1));
  } finally {
    parser.destroy();
  }
}

async function startOf(upload: Upload): Promise<string> {
  let start = '';
  for await (const text of textOf(upload)) {
    start += text;
    if (start.length >= MAX_ROW_CHARACTERS || /[\r\n]/.test(start)) break;
  }
  return start;
}

/** What a spreadsheet leaves of rows whose content was deleted. */
const isBlank = ({ cells }: RawRow): boolean => cells.every((cell) => cell.trim() === '');

/**
 * Looks through the whole file before anything is done with its first row: how many rows there are,
 * and how its numbers and dates are
 * written. The order of the rows tells nothing.
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
        detail: `The file holds more than ${MAX_ROWS.toLocaleString('en')} rows; send it in several files`,
      });
    if (rowFault(raw.cells, headers, columns, delimiter) === null) evidence.see(raw.line, raw.cells, columns);
  }
  return evidence;
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
  if (upload.encoding === 'utf-16')
    throw refused({
      detail: 'The file is in UTF-16; save it as CSV in UTF-8 ("CSV UTF-8") and send it again',
    });
  const delimiter = delimiterOf(await startOf(upload));
  const source = rawRows(upload, delimiter);
  const first = await source.next();
  await source.return(undefined);
  if (first.done) throw refused({ detail: 'The file is empty; a header and rows are needed' });
  const header = first.value;
  const matched = matchHeader(header.cells, set, fleetScope().units);
  report.understood(upload.encoding, delimiter, matched.columns);
  for (const notice of matched.notices) report.notice({ line: header.line, ...notice });
  if (matched.faults.length > 0)
    throw unacceptable(matched.faults.map((fault) => ({ ...fault, line: header.line })));
  const known = (await survey(upload, delimiter, matched.columns)).verdict(asked);
  report.readBy(known);
  const headers = header.cells.map((cell) => cell.trim().slice(0, 60));
  let isCounted = false;
  return {
    conventions: { decimal: known.decimal.value, dateOrder: known.dateOrder.value },
    columns: new Map(matched.columns.map((column) => [column.column, column])),
    async *chunks(size) {
      const isFirstTime = !isCounted;
      isCounted = true;
      let chunk: CsvRow[] = [];
      let isHeader = true;
      let count = 0;
      for await (const raw of rawRows(upload, delimiter)) {
        if (isHeader) {
          isHeader = false;
          continue;
        }
        if (isBlank(raw)) continue;
        count++;
        if (isFirstTime) report.rows++;
        const fault = rowFault(raw.cells, headers, matched.columns, delimiter);
        if (fault) {
          if (isFirstTime) report.reject(raw.line, [fault]);
          continue;
        }
        chunk.push(rowOf(raw, matched.columns));
        if (chunk.length < size) continue;
        yield chunk;
        chunk = [];
      }
      if (count === 0)
        throw refused({
          line: header.line,
          detail: 'The file has a header and no rows: there is nothing to take in',
        });
      if (chunk.length > 0) yield chunk;
    },
  };
}

function rowOf({ line, cells }: RawRow, columns: readonly MatchedColumn[]): CsvRow {
  const known = new Map<string, string>();
  for (const { column, index } of columns) {
    const cell = cells[index] ?? '';
    if (cell.trim() !== '') known.set(column, unguarded(cell));
  }
  return { line, cells: known };
}
