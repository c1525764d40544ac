import { promisify } from 'node:util';
import { gunzip, gunzipSync, gzipSync } from 'node:zlib';
import type { SheetCell, SheetRow } from '../../../domain/spreadsheets/sheet.js';

/** Rows as they are kept between two steps: some hundreds at a time, packed. */
const ROWS_OF_PIECE = 500;

type Packed = [number, ...SheetCell[]];

const unpack = promisify(gunzip);

const rowsOf = (bytes: Buffer): SheetRow[] =>
  (JSON.parse(bytes.toString('utf8')) as Packed[]).map(([row, ...cells]) => ({ row, cells }));

export function packRows(rows: readonly SheetRow[]): Buffer[] {
  const pieces: Buffer[] = [];
  for (let from = 0; from < rows.length; from += ROWS_OF_PIECE) {
    const some = rows.slice(from, from + ROWS_OF_PIECE).map(({ row, cells }): Packed => [row, ...cells]);
    pieces.push(gzipSync(JSON.stringify(some)));
  }
  return pieces;
}

/** The rows of a piece. */
export async function unpackRows(piece: Uint8Array): Promise<SheetRow[]> {
  return rowsOf(await unpack(piece));
}

/** The rows of all pieces, for a thread that nobody waits for. */
export function unpackAll(pieces: readonly Uint8Array[]): SheetRow[] {
  return pieces.flatMap((piece) => rowsOf(gunzipSync(piece)));
}
