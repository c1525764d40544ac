import type { SheetCell } from '../../../domain/spreadsheets/sheet.js';
import { dateOfSerial } from '../../../domain/spreadsheets/dates.js';
import type { Package } from './unpack.js';
import { readXml } from './xml.js';

/** What a number is, by the format in which its cell shows it. */
export type Shown = 'number' | 'date' | 'time' | 'elapsed';

/** Formats that need no declaration (ECMA-376 part 1, 18.8.30). */
function builtIn(id: number): Shown {
  if ((id >= 14 && id <= 17) || id === 22 || (id >= 27 && id <= 31) || id === 36) return 'date';
  if (id === 46) return 'elapsed';
  return (id >= 18 && id <= 21) || (id >= 32 && id <= 35) || id === 45 || id === 47 ? 'time' : 'number';
}

/** What a format's code shows. Texts in quotes, colours and escaped characters say nothing. */
export function shownBy(code: string): Shown {
  const [positive = ''] = code.split(';', 1);
  if (/\[(?:h+|m+|s+)\]/i.test(positive)) return 'elapsed';
  const plain = positive.replaceAll(/"[^"]*"|\\.|_.|\*.|\[[^\]]*\]/g, '').toLowerCase();
  if (/[yd]/.test(plain)) return 'date';
  if (/general|[#?]/.test(plain)) return 'number';
  if (/[hs]/.test(plain)) return 'time';
  return plain.includes('m') && !plain.includes('0') ? 'date' : 'number';
}

/** Reads what each style of a workbook shows, by the number that cells give. */
export async function readFormats(parts: Package): Promise<Shown[]> {
  const styles: Shown[] = [];
  if (!parts.has('xl/styles.xml')) return styles;
  const codes = new Map<number, string>();
  let isCellStyle = false;
  await readXml(parts, 'xl/styles.xml', {
    open: ({ name, attributes }) => {
      if (name === 'numFmt') codes.set(Number(attributes['numFmtId']), attributes['formatCode'] ?? '');
      if (name === 'cellXfs') isCellStyle = true;
      if (name !== 'xf' || !isCellStyle) return;
      const id = Number(attributes['numFmtId'] ?? 0);
      const code = codes.get(id);
      styles.push(code === undefined ? builtIn(id) : shownBy(code));
    },
    close: (name) => {
      if (name === 'cellXfs') isCellStyle = false;
    },
  });
  return styles;
}

const HOURS_A_DAY = 24;

/** A number as its cell shows it: a day, a time of day, or hours that have passed. */
export function shownNumber(value: number, shown: Shown, is1904: boolean): SheetCell {
  if (shown === 'number') return value;
  if (shown === 'elapsed') return Number((value * HOURS_A_DAY).toPrecision(12));
  if (shown === 'time' && value >= 0 && value < 1) return timeOf(value);
  const at = dateOfSerial(value, is1904);
  return at === null ? value : { at };
}

function timeOf(part: number): string {
  const minutes = Math.round(part * HOURS_A_DAY * 60) % (HOURS_A_DAY * 60);
  return [Math.floor(minutes / 60), minutes % 60].map((count) => String(count).padStart(2, '0')).join(':');
}
