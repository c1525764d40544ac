import { type CsvError, type InfoRecord, type Options, parse, type Parser } from 'csv-parse';
import { pipeline, Readable } from 'node:stream';
import { type FieldFault, unacceptable } from '../problems/problem.js';
import type { Delimiter } from './csv-text.js';
import type { Upload } from './upload.js';
import { message } from './messages.js';

/** No real row is longer than this. If one is, a quote was not closed. */
const MAX_ROW_CHARACTERS = 64 * 1024;

/** One row, exactly as in the file. */
export interface RawRow {
  line: number;
  cells: string[];
}

/** Creates the error for a file that must be refused as a whole. */
export function refused(fault: FieldFault): Error {
  return unacceptable([fault]);
}

/** What the rows are read from. */
export type RowSource = Pick<Upload, 'encoding' | 'read'>;

async function* textOf(upload: RowSource): AsyncGenerator<string> {
  // The decoder drops a byte order mark.
  const decoder = new TextDecoder(upload.encoding);
  for await (const chunk of upload.read()) {
    const text = decoder.decode(chunk, { stream: true });
    if (text !== '') yield text;
  }
  const rest = decoder.decode();
  if (rest !== '') yield rest;
}

/**
 * Finds the delimiter: the one that a line such as `sep=;` names, else the most frequent one
 * outside quotes in the first line.
 */
export function delimiterOf(start: string): Delimiter {
  const named = /^sep=([,;\t|])\r?\n?/i.exec(start)?.[1];
  if (named) return named as Delimiter;
  const counts: Record<Delimiter, number> = { ',': 0, ';': 0, '\t': 0, '|': 0 };
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
      return { line, detail: message('file-quote-open') };
    case 'CSV_MAX_RECORD_SIZE':
      return { line, detail: message('file-row-too-long', { most: MAX_ROW_CHARACTERS }) };
    // None of the others comes of a file: the options let through what they stand for.
    default:
      return { line, detail: message('file-not-csv') };
  }
}

/**
 * Makes the parser forget its first row. It compares every row with it and, when the number of
 * cells differs, creates an error that nobody reads. That takes eight times as long as reading the
 * row.
 */
function forgetFirstRow({ info }: Parser): void {
  (info as { records: number }).records = 0;
}

/** The rows exactly as in the file. @throws Problem 422 where the file stops being valid CSV */
export async function* rawRows(upload: RowSource, delimiter: Delimiter): AsyncGenerator<RawRow> {
  let ended = 0;
  // The parser counts a CRLF inside quotes as two lines.
  let countedTwice = 0;
  const options: Options<RawRow, string[]> = {
    delimiter,
    record_delimiter: ['\r\n', '\n', '\r'],
    relax_column_count: true,
    relax_quotes: true,
    skip_empty_lines: true,
    max_record_size: MAX_ROW_CHARACTERS,
    on_record: (cells: string[], { lines }: InfoRecord): RawRow | null => {
      forgetFirstRow(parser);
      const isNamingDelimiter = ended === 0 && /^sep=/i.test(cells[0] ?? '');
      countedTwice += countIn(cells, /\r\n/g);
      ended = lines - countedTwice;
      return isNamingDelimiter ? null : { line: ended - countIn(cells, LINE_ENDS), cells };
    },
  };
  // The library's types let `on_record` change a record only when columns are named.
  const parser: Parser = parse(options as unknown as Options);
  // The callback can ignore the error: the parser reports it too.
  pipeline(Readable.from(textOf(upload)), parser, () => undefined);
  try {
    yield* parser as AsyncIterable<RawRow>;
  } catch (error) {
    if (!(error instanceof Error) || !((error as Partial<CsvError>).code ?? '').startsWith('CSV_'))
      throw error;
    throw refused(structureFault(error as CsvError, ended + 1));
  } finally {
    parser.destroy();
  }
}

/** The beginning of the file, at least up to the end of the first line. */
export async function startOf(upload: RowSource): Promise<string> {
  let start = '';
  for await (const text of textOf(upload)) {
    start += text;
    if (start.length >= MAX_ROW_CHARACTERS || /[\r\n]/.test(start)) break;
  }
  return start;
}

/** True for a row without content, such as spreadsheets leave when its cells were cleared. */
export const isBlank = ({ cells }: RawRow): boolean => cells.every((cell) => cell.trim() === '');
