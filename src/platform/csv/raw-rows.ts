import { type CsvError, type InfoRecord, type Options, parse, type Parser } from 'csv-parse';
import { pipeline, Readable } from 'node:stream';
import { type FieldFault, unacceptable } from '../problems/problem.js';
import type { Delimiter } from './csv-text.js';
import type { Upload } from './upload.js';
import { message } from './messages.js';

/** Longer than any row; where one is, a quote was not closed. */
const MAX_ROW_CHARACTERS = 64 * 1024;

/** One row as it stands in the file. */
export interface RawRow {
  line: number;
  cells: string[];
}

/** The file as a whole cannot be taken. */
export function refused(fault: FieldFault): Error {
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

/**
 * The delimiter that stands most often outside quotes in the first line, or the one that a line
 * `sep=;` names.
 */
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
      return { line, detail: message('file-quote-open') };
    case 'CSV_MAX_RECORD_SIZE':
      return { line, detail: message('file-row-too-long', { most: MAX_ROW_CHARACTERS }) };
    // None of the others comes of a file: the options let through what they stand for.
    default:
      return { line, detail: message('file-not-csv') };
  }
}

/**
 * The parser compares each row with the first one. Where the number of cells differs it makes an
 * error that nobody asked for and nobody reads, which takes eight times as long as reading the row.
 */
function forgetFirstRow({ info }: Parser): void {
  (info as { records: number }).records = 0;
}

/** The rows as they stand in the file. @throws Problem 422 where the file stops being CSV */
export async function* rawRows(upload: Upload, delimiter: Delimiter): AsyncGenerator<RawRow> {
  let ended = 0;
  // The parser takes the two characters of a line end inside quotes for two lines.
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
  // Its types let a record become something else only where columns are named.
  const parser: Parser = parse(options as unknown as Options);
  // The error comes out of the parser, too.
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

/** The first line, and what came with it. */
export async function startOf(upload: Upload): Promise<string> {
  let start = '';
  for await (const text of textOf(upload)) {
    start += text;
    if (start.length >= MAX_ROW_CHARACTERS || /[\r\n]/.test(start)) break;
  }
  return start;
}

/** What a spreadsheet leaves of rows whose content was deleted. */
export const isBlank = ({ cells }: RawRow): boolean => cells.every((cell) => cell.trim() === '');
