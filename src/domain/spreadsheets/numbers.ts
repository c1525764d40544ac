import { type Unit, unitsOf, type Dimension } from '../quantities/units.js';

/** Whether a point or a comma comes before the decimals. The other one may separate thousands. */
export const DECIMAL_MARKS = ['point', 'comma'] as const;
export type DecimalMark = (typeof DECIMAL_MARKS)[number];

/**
 * Characters that can only separate thousands: spaces (plain, no-break, thin, narrow no-break) and
 * apostrophes.
 */
const SPACE = '[ \\u00a0\\u2009\\u202f]';
const APOSTROPHE = "['\\u2019]";

/**
 * Matches a number in one convention. Only one kind of mark separates thousands, in groups of three
 * digits. `0,370` has no thousands, because nobody writes zero thousand. `081,370` may have them,
 * because odometers show leading zeros.
 */
function numberPattern(decimal: string, thousands: string): RegExp {
  const grouped = [thousands, SPACE, APOSTROPHE].map((mark) => `(?!0${mark})\\d{1,3}(?:${mark}\\d{3})+`);
  return new RegExp(`^[+\\-\\u2212]?(?:\\d+|${grouped.join('|')}|(?=${decimal}))(?:${decimal}\\d+)?$`);
}

const PATTERNS: Record<DecimalMark, RegExp> = {
  point: numberPattern('\\.', ','),
  comma: numberPattern(',', '\\.'),
};

function readWith(mark: DecimalMark, cell: string): number | null {
  if (!PATTERNS[mark].test(cell)) return null;
  const [decimal, thousands] = mark === 'point' ? ['.', ','] : [',', '.'];
  const plain = cell
    .replaceAll(/[ \u00a0\u2009\u202f'\u2019]/g, '')
    .replaceAll(thousands, '')
    .replace(decimal, '.')
    .replace('\u2212', '-');
  const value = Number(plain);
  return Number.isFinite(value) ? value : null;
}

/** Reads a cell in each convention; null where it is not a number. */
export function numberReadings(text: string): Record<DecimalMark, number | null> {
  const cell = text.trim();
  return { point: readWith('point', cell), comma: readWith('comma', cell) };
}

/** The only decimal mark that makes a cell a number; null when both do or neither does. */
export function decimalMarkOf(text: string): DecimalMark | null {
  const { point, comma } = numberReadings(text);
  if ((point === null) === (comma === null)) return null;
  return point === null ? 'comma' : 'point';
}

/** How people write units. Case makes no difference. */
const UNIT_NAMES: Readonly<Record<string, Unit>> = {
  miles: 'mi',
  mile: 'mi',
  millas: 'mi',
  milla: 'mi',
  kms: 'km',
  kilometres: 'km',
  kilometers: 'km',
  kilómetros: 'km',
  kilometros: 'km',
  hours: 'h',
  hour: 'h',
  hrs: 'h',
  hr: 'h',
  horas: 'h',
  hora: 'h',
  '°c': 'C',
  '°f': 'F',
};

/** The unit that a text names, of those accepted. @example unitNamed('Miles', ['km', 'mi']) // 'mi' */
export function unitNamed(text: string, accepted: readonly Unit[]): Unit | null {
  const name = text.trim().toLowerCase().replace(/\.$/, '');
  const unit = UNIT_NAMES[name] ?? accepted.find((candidate) => candidate.toLowerCase() === name);
  return unit !== undefined && accepted.includes(unit) ? unit : null;
}

/** The number of a cell without the unit behind it. */
export interface Measured {
  number: string;
  unit: Unit | null;
}

/**
 * Splits a number from the unit behind it. The unit is null when there is none, and the whole text
 * is the number when what follows is no unit of the dimension.
 *
 * @example measuredIn('120300 km', 'length') // { number: '120300', unit: 'km' }
 */
export function measuredIn(text: string, dimension: Dimension): Measured {
  const cell = text.trim();
  const [, number = cell, name = ''] = /^(.*\d)[\s\u00a0]*([\p{L}°.]+)$/u.exec(cell) ?? [];
  const unit = name === '' ? null : unitNamed(name, unitsOf(dimension));
  return unit === null ? { number: cell, unit: null } : { number, unit };
}
