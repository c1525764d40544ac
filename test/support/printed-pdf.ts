import { inflateSync } from 'node:zlib';

/** A PDF printed by Chromium, as far as tests inspect it. */
export interface PrintedPdf {
  pages: { widthPt: number; heightPt: number }[];
  /** All its text, without white space. */
  text: string;
}

/**
 * Removes white space and splits ligatures, because printing may break lines and join letters
 * anywhere.
 */
export function squeezed(text: string): string {
  return text.normalize('NFKC').replaceAll(/\s+/g, '');
}

/** An object of the file: its dictionary, and its stream if it has one. */
interface PdfObject {
  dictionary: string;
  stream: string;
}

function objectsOf(file: Buffer): Map<number, PdfObject> {
  const bytes = file.toString('latin1');
  const objects = new Map<number, PdfObject>();
  for (const match of bytes.matchAll(/(?:^|\n)(\d+) 0 obj\n/g)) {
    const from = match.index + match[0].length;
    const rest = bytes.slice(from, bytes.indexOf('endobj', from));
    const start = /stream\r?\n/.exec(rest);
    const dictionary = start ? rest.slice(0, start.index) : rest;
    const length = Number(/\/Length (\d+)/.exec(dictionary)?.[1] ?? 0);
    const begin = from + (start ? start.index + start[0].length : 0);
    const raw = file.subarray(begin, begin + length);
    const isDeflated = dictionary.includes('/FlateDecode');
    objects.set(Number(match[1]), {
      dictionary,
      stream: start ? (isDeflated ? inflateSync(raw) : raw).toString('latin1') : '',
    });
  }
  return objects;
}

const fromHex = (hex: string): string => Buffer.from(hex, 'hex').swap16().toString('utf16le');

/** Returns the characters of each glyph of a font, from the font's own table. */
function glyphsOf(table: string): Map<number, string> {
  const glyphs = new Map<number, string>();
  for (const [, body = ''] of table.matchAll(/beginbfchar\n([\s\S]*?)endbfchar/g))
    for (const [, glyph = '', text = ''] of body.matchAll(/<(\w+)> <(\w+)>/g))
      glyphs.set(parseInt(glyph, 16), fromHex(text));
  for (const [, body = ''] of table.matchAll(/beginbfrange\n([\s\S]*?)endbfrange/g))
    for (const [, first = '', last = '', text = ''] of body.matchAll(/<(\w+)> <(\w+)> <(\w+)>/g))
      for (let glyph = parseInt(first, 16); glyph <= parseInt(last, 16); glyph++)
        glyphs.set(glyph, String.fromCharCode(parseInt(text, 16) + glyph - parseInt(first, 16)));
  return glyphs;
}

/**
 * Reads back the pages of a PDF and their text. Supports only the parts of the format that Chromium
 * uses.
 */
export function readPrintedPdf(file: Buffer): PrintedPdf {
  const objects = objectsOf(file);
  const at = (number: string | undefined): PdfObject => {
    const object = objects.get(Number(number));
    if (!object) throw new Error(`the PDF has no object ${number}`);
    return object;
  };
  const pages = [...objects.values()].filter(({ dictionary }) => /\/Type \/Page\b/.test(dictionary));
  let text = '';
  for (const { dictionary } of pages) {
    const fonts = new Map(
      [...(/\/Font <<([^>]*)>>/.exec(dictionary)?.[1] ?? '').matchAll(/\/(\w+) (\d+) 0 R/g)].map(
        ([, name = '', number]) => [
          name,
          glyphsOf(at(/\/ToUnicode (\d+) 0 R/.exec(at(number).dictionary)?.[1]).stream),
        ],
      ),
    );
    let glyphs = new Map<number, string>();
    const content = at(/\/Contents (\d+) 0 R/.exec(dictionary)?.[1]).stream;
    for (const [, font, shown] of content.matchAll(/\/(\w+) [\d.]+ Tf|<(\w+)>(?= Tj| -?[\d.]+|<|\])/g)) {
      if (font !== undefined) glyphs = fonts.get(font) ?? new Map<number, string>();
      for (const [glyph] of (shown ?? '').matchAll(/.{4}/g))
        text += glyphs.get(parseInt(glyph, 16)) ?? '\ufffd';
    }
  }
  return {
    pages: pages.map(({ dictionary }) => {
      const [, width, height] = /\/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]/.exec(dictionary) ?? [];
      return { widthPt: Number(width), heightPt: Number(height) };
    }),
    text: squeezed(text),
  };
}
