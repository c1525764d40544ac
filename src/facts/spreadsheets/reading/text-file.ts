import type { SheetRow } from '../../../domain/spreadsheets/sheet.js';
import { unguarded, type Delimiter } from '../../../platform/csv/csv-text.js';
import { type Declared, type Encoding, EncodingProbe } from '../../../platform/csv/encodings.js';
import { isBlank, rawRows } from '../../../platform/csv/raw-rows.js';
import { LIMITS } from './limits.js';
import { message } from './messages.js';
import { UnreadableSheet } from './unreadable.js';

const DELIMITERS: readonly Delimiter[] = [',', ';', '\t', '|'];
/** How many lines show what separates the cells. */
const LOOKED_AT = 60;
const PIECE = 64 * 1024;

/**
 * Finds what separates the cells: what a line such as `sep=;` names, else what the most lines have
 * equally often; of equals, the one that makes more cells. A title above the header has none.
 */
export function separatorOf(text: string): Delimiter {
  const named = /^sep=([,;\t|])\r?\n?/i.exec(text)?.[1];
  if (named) return named as Delimiter;
  const counts = countsOf(text);
  const rated = DELIMITERS.map((delimiter, place) => {
    const often = new Map<number, number>();
    for (const line of counts) {
      const count = line[place] ?? 0;
      if (count > 0) often.set(count, (often.get(count) ?? 0) + 1);
    }
    const [cells, lines] = [...often].reduce((best, next) => (next[1] > best[1] ? next : best), [0, 0]);
    return { delimiter, lines, cells };
  });
  return rated.reduce((best, next) =>
    next.lines > best.lines || (next.lines === best.lines && next.cells > best.cells) ? next : best,
  ).delimiter;
}

/** How often each line has each delimiter outside quotes. */
function countsOf(text: string): number[][] {
  const counts: number[][] = [];
  let line = [0, 0, 0, 0];
  let isQuoted = false;
  for (const character of text) {
    if (character === '"') isQuoted = !isQuoted;
    else if (!isQuoted && (character === '\n' || character === '\r')) {
      if (line.some((count) => count > 0)) counts.push(line);
      if (counts.length >= LOOKED_AT) return counts;
      line = [0, 0, 0, 0];
    } else if (!isQuoted) {
      const place = DELIMITERS.indexOf(character as Delimiter);
      if (place !== -1) line[place] = (line[place] ?? 0) + 1;
    }
  }
  if (line.some((count) => count > 0)) counts.push(line);
  return counts;
}

export interface ReadText {
  encoding: Encoding;
  delimiter: Delimiter;
  rows: SheetRow[];
}

/** Reads a text file of rows. @throws UnreadableSheet, or Problem 422 where it is no CSV */
export async function readText(bytes: Uint8Array, declared: Declared | null): Promise<ReadText> {
  const probe = new EncodingProbe();
  probe.see(bytes);
  const encoding = probe.verdict(declared);
  if (/^utf-8|^windows/.test(encoding) && bytes.subarray(0, PIECE).includes(0))
    throw new UnreadableSheet(message('sheet-file-not-sheet'));
  const start = new TextDecoder(encoding).decode(bytes.subarray(0, PIECE));
  if (/^\s*<(?:!doctype|html|\?xml|table)/i.test(start))
    throw new UnreadableSheet(message('sheet-file-page'));
  const delimiter = separatorOf(start);
  const rows: SheetRow[] = [];
  let characters = 0;
  const source = {
    encoding,
    async *read() {
      for (let at = 0; at < bytes.length; at += PIECE) yield Buffer.from(bytes.subarray(at, at + PIECE));
    },
  };
  for await (const raw of rawRows(source, delimiter)) {
    if (isBlank(raw)) continue;
    const cells = raw.cells.map((cell) => (cell.trim() === '' ? null : unguarded(cell)));
    while (cells.at(-1) === null) cells.pop();
    if (cells.length > LIMITS.columns)
      throw new UnreadableSheet(message('sheet-too-many-columns', { sheet: '1', most: LIMITS.columns }), {
        line: raw.line,
      });
    characters += cells.reduce((sum, cell) => sum + (cell?.length ?? 0), 0);
    if (characters > LIMITS.characters) throw new UnreadableSheet(message('sheet-too-much-text'));
    rows.push({ row: raw.line, cells });
    if (rows.length > LIMITS.rows + 1)
      throw new UnreadableSheet(message('sheet-too-many-rows', { sheet: '1', most: LIMITS.rows }));
  }
  return { encoding, delimiter, rows };
}
