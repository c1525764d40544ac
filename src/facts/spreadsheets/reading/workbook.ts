import { posix } from 'node:path';
import type { Message } from '../../../domain/message.js';
import type { SheetRow } from '../../../domain/spreadsheets/sheet.js';
import { LIMITS } from './limits.js';
import { message } from './messages.js';
import { readFormats } from './number-formats.js';
import { Package } from './unpack.js';
import { UnreadableSheet } from './unreadable.js';
import { readSheet } from './workbook-sheet.js';
import { readXml } from './xml.js';

/** A sheet as it was read, or why it was not. */
export interface ReadSheet {
  name: string;
  rows: SheetRow[];
  is1904: boolean;
  fault: { why: Message; line?: number } | null;
}

interface Listed {
  name: string;
  relation: string;
}

/**
 * Reads the sheets of an Office Open XML workbook (ECMA-376) that people see. Hidden ones are left
 * out, unless there are no others.
 *
 * @throws UnreadableSheet when the file is no workbook
 */
export async function readWorkbook(bytes: Uint8Array): Promise<ReadSheet[]> {
  const packed = await Package.open(bytes);
  if (!packed.has('xl/workbook.xml')) throw new UnreadableSheet(message('sheet-file-zip-other'));
  const { listed, is1904 } = await listSheets(packed);
  const paths = await relationsOf(packed);
  const parts = { strings: await readStrings(packed), styles: await readFormats(packed), is1904 };
  const sheets: ReadSheet[] = [];
  for (const { name, relation } of listed) {
    const path = paths.get(relation);
    if (path === undefined || !packed.has(path)) continue;
    try {
      sheets.push({ name, is1904, fault: null, rows: await readSheet(packed, path, name, parts) });
    } catch (error) {
      if (!(error instanceof UnreadableSheet)) throw error;
      sheets.push({ name, is1904, rows: [], fault: { why: error.why, ...error.place } });
    }
  }
  return sheets;
}

async function listSheets(packed: Package): Promise<{ listed: Listed[]; is1904: boolean }> {
  const all: (Listed & { isHidden: boolean })[] = [];
  let is1904 = false;
  await readXml(packed, 'xl/workbook.xml', {
    open: ({ name, attributes }) => {
      if (name === 'workbookPr') is1904 = /^(?:1|true)$/.test(attributes['date1904'] ?? '');
      if (name !== 'sheet') return;
      all.push({
        name: (attributes['name'] ?? '').slice(0, 100),
        relation: attributes['id'] ?? '',
        isHidden: /hidden/i.test(attributes['state'] ?? ''),
      });
    },
  });
  if (all.length > LIMITS.sheets)
    throw new UnreadableSheet(message('sheet-file-too-many-sheets', { most: LIMITS.sheets }));
  const seen = all.filter(({ isHidden }) => !isHidden);
  return { listed: seen.length > 0 ? seen : all, is1904 };
}

/** The paths of the sheets by the ids that the workbook gives them. */
async function relationsOf(packed: Package): Promise<Map<string, string>> {
  const paths = new Map<string, string>();
  await readXml(packed, 'xl/_rels/workbook.xml.rels', {
    open: ({ name, attributes: { Id, Target } }) => {
      if (name !== 'Relationship' || Id === undefined || Target === undefined) return;
      paths.set(Id, Target.startsWith('/') ? Target.slice(1) : posix.join('xl', Target));
    },
  });
  return paths;
}

/** The texts that cells share. */
async function readStrings(packed: Package): Promise<string[]> {
  const strings: string[] = [];
  if (!packed.has('xl/sharedStrings.xml')) return strings;
  let current = '';
  let isText = false;
  let isPhonetic = false;
  let characters = 0;
  await readXml(packed, 'xl/sharedStrings.xml', {
    open: ({ name }) => {
      if (name === 'si') current = '';
      else if (name === 'rPh') isPhonetic = true;
      else if (name === 't') isText = !isPhonetic;
    },
    text: (text) => {
      if (!isText) return;
      current += text;
      characters += text.length;
      if (current.length > LIMITS.cellCharacters)
        throw new UnreadableSheet(message('sheet-cell-too-long', { most: LIMITS.cellCharacters }));
      if (characters > LIMITS.characters) throw new UnreadableSheet(message('sheet-too-much-text'));
    },
    close: (name) => {
      if (name === 't') isText = false;
      else if (name === 'rPh') isPhonetic = false;
      else if (name === 'si') strings.push(current);
    },
  });
  return strings;
}
