import type { Message } from '../../../domain/message.js';
import type { SheetRow } from '../../../domain/spreadsheets/sheet.js';
import type { Delimiter } from '../../../platform/csv/csv-text.js';
import type { Declared, Encoding } from '../../../platform/csv/encodings.js';
import { message } from './messages.js';
import { readText } from './text-file.js';
import { UnreadableSheet } from './unreadable.js';
import { readWorkbook } from './workbook.js';

/** A file as its sheets. */
export interface ReadFile {
  format: 'xlsx' | 'csv';
  encoding: Encoding | null;
  delimiter: Delimiter | null;
  sheets: { name: string; rows: SheetRow[]; is1904: boolean }[];
  /** Sheets that could not be read, and why. */
  unread: { name: string; why: Message }[];
}

const ZIP = [0x50, 0x4b, 0x03, 0x04];
/** An older workbook, or a newer one under a password (MS-CFB 2.2). */
const COMPOUND = [0xd0, 0xcf, 0x11, 0xe0];

const beginsWith = (bytes: Uint8Array, start: readonly number[]): boolean =>
  start.every((byte, index) => bytes[index] === byte);

/**
 * Reads a spreadsheet of any form that is taken. The content decides which, whatever the sender
 * calls it.
 *
 * @throws UnreadableSheet, or Problem 422 where it is no CSV
 */
export async function readFile(bytes: Uint8Array, declared: Declared | null): Promise<ReadFile> {
  if (bytes.length === 0) throw new UnreadableSheet(message('sheet-file-empty'));
  if (beginsWith(bytes, COMPOUND)) throw new UnreadableSheet(message('sheet-file-old-excel'));
  const read = beginsWith(bytes, ZIP) ? await workbookIn(bytes) : await textIn(bytes, declared);
  if (read.sheets.every(({ rows }) => rows.length === 0)) {
    const [unread] = read.unread;
    throw new UnreadableSheet(unread?.why ?? message('sheet-file-no-rows'));
  }
  return read;
}

async function workbookIn(bytes: Uint8Array): Promise<ReadFile> {
  const sheets = await readWorkbook(bytes);
  return {
    ...{ format: 'xlsx', encoding: null, delimiter: null },
    sheets: sheets.filter(({ fault }) => fault === null),
    unread: sheets.flatMap(({ name, fault }) => (fault === null ? [] : [{ name, why: fault.why }])),
  };
}

async function textIn(bytes: Uint8Array, declared: Declared | null): Promise<ReadFile> {
  const { encoding, delimiter, rows } = await readText(bytes, declared);
  return { format: 'csv', encoding, delimiter, sheets: [{ name: '1', rows, is1904: false }], unread: [] };
}
