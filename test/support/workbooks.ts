import { TextReader, Uint8ArrayWriter, ZipWriter } from '@zip.js/zip.js';

/** A cell of a workbook: text, a number, a day (by its number), or raw XML. */
export type BookCell = string | number | { day: number } | { xml: string } | null;

const escaped = (text: string): string =>
  text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('"', '&quot;');

function letters(index: number): string {
  const letter = String.fromCodePoint(65 + (index % 26));
  return index < 26 ? letter : letters(Math.floor(index / 26) - 1) + letter;
}

function cellXml(cell: BookCell, ref: string): string {
  if (cell === null) return '';
  if (typeof cell === 'string') return `<c r="${ref}" t="inlineStr"><is><t>${escaped(cell)}</t></is></c>`;
  if (typeof cell === 'number') return `<c r="${ref}"><v>${cell}</v></c>`;
  return 'xml' in cell ? cell.xml : `<c r="${ref}" s="1"><v>${cell.day}</v></c>`;
}

/** The XML of a sheet. A row that is null is left out. */
export function sheetXml(rows: readonly (readonly BookCell[] | null)[], after = ''): string {
  const lines = rows.map((cells, index) =>
    cells === null
      ? ''
      : `<row r="${index + 1}">${cells.map((cell, at) => cellXml(cell, `${letters(at)}${index + 1}`)).join('')}</row>`,
  );
  return `<?xml version="1.0"?><worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>${lines.join('')}</sheetData>${after}</worksheet>`;
}

/** Packs parts as they are. */
export async function packed(parts: Readonly<Record<string, string>>): Promise<Buffer> {
  const writer = new ZipWriter(new Uint8ArrayWriter(), { useWebWorkers: false });
  for (const [path, text] of Object.entries(parts)) await writer.add(path, new TextReader(text));
  return Buffer.from(await writer.close());
}

/** A workbook of sheets (ECMA-376), by their names. Style 1 shows a day. */
export function workbook(sheets: Readonly<Record<string, string>>): Promise<Buffer> {
  const names = Object.keys(sheets);
  const list = names.map(
    (name, at) => `<sheet name="${escaped(name)}" sheetId="${at + 1}" r:id="r${at + 1}"/>`,
  );
  const relations = names.map(
    (_, at) => `<Relationship Id="r${at + 1}" Target="worksheets/sheet${at + 1}.xml"/>`,
  );
  return packed({
    'xl/workbook.xml': `<workbook xmlns:r="urn:r"><sheets>${list.join('')}</sheets></workbook>`,
    'xl/_rels/workbook.xml.rels': `<Relationships>${relations.join('')}</Relationships>`,
    'xl/styles.xml': '<styleSheet><cellXfs><xf numFmtId="0"/><xf numFmtId="14"/></cellXfs></styleSheet>',
    ...Object.fromEntries(Object.values(sheets).map((xml, at) => [`xl/worksheets/sheet${at + 1}.xml`, xml])),
  });
}
