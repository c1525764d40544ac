import { DIVISIONS } from './divisions.js';
import type { Quantity, Unit } from './units.js';
import { unitInWords } from './wording.js';

/** Rounded only here: a check shows sizes and times as they were typed. */
const READ_HERE: Readonly<Partial<Record<Unit, number>>> = { in: 0.1, mm: 1, h: 1 };

/** From this size on, whole numbers are enough of a torque or a length. */
const COARSE_FROM = 100;
/** Below this size, kilopascals are read to a tenth. */
const FINE_BELOW = 10;

const ENGLISH = new Intl.NumberFormat('en-US');

function divisionOf(unit: Unit, size: number): number | null {
  const division = DIVISIONS[unit] ?? READ_HERE[unit] ?? null;
  if (division === null) return null;
  if (unit === 'kPa') return size < FINE_BELOW ? 0.1 : division;
  return size >= COARSE_FROM ? Math.max(1, division) : division;
}

/**
 * A quantity as it is read off in a bay, rounded to what a person can measure. What rounds to
 * nothing is said to be less than one division.
 *
 * @param rounding 'down' for what must be reached on a gauge, or must not be passed; the nearest
 * division else
 * @param lessThan says that it is less than an amount, in the reader's language
 * @param written writes a number as the reader's language does
 * @example quantityAsRead({ value: 10.04, unit: 'qt' }) // '10 qt'
 * @example quantityAsRead({ value: 19.19, unit: 'inHg' }, 'down') // '19 inHg'
 */
export function quantityAsRead(
  { value, unit }: Quantity,
  rounding: 'nearest' | 'down' = 'nearest',
  lessThan = (amount: string): string => `< ${amount}`,
  written = (number: number): string => ENGLISH.format(number),
): string {
  const size = Math.abs(value);
  const division = divisionOf(unit, size);
  const name = unitInWords(unit);
  const minus = value < 0 ? '−' : '';
  if (division === null) return `${minus}${written(Number(size.toFixed(1)))} ${name}`;
  const divisions = size / division;
  // A value that was converted back and forth may be a last digit below its mark.
  const whole = rounding === 'down' ? Math.floor(divisions + 1e-6) : Math.round(divisions);
  if (whole === 0 && size > 1e-9)
    return unit === 'C' || unit === 'F' ? `0 ${name}` : lessThan(`${written(division)} ${name}`);
  return `${whole === 0 ? '' : minus}${written(Number((whole * division).toFixed(1)))} ${name}`;
}
