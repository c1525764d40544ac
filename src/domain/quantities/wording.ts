import { roundedToRead, type Rounding } from './rounding.js';
import { convert, dimensionOf, type Quantity, type Unit } from './units.js';

const SYMBOLS: Partial<Record<Unit, string>> = {
  C: '°C',
  F: '°F',
  'fl.oz': 'fl oz',
  'N.m': 'N·m',
  'ft.lbf': 'lbf·ft',
  'in.lbf': 'lbf·in',
  'kgf.m': 'kgf·m',
};

/** A unit as a mechanic writes it. @example unitInWords('ft.lbf') // 'lbf·ft' */
export function unitInWords(unit: Unit): string {
  return SYMBOLS[unit] ?? unit;
}

/**
 * A number for a sentence: enough digits to compare with a limit, no trailing zeros.
 *
 * @example plain(24.9704) // '24.97'
 */
export function plain(value: number): string {
  const size = Math.abs(value);
  const decimals = size >= 100 ? 1 : size >= 1 ? 2 : 3;
  const rounded = Number(value.toFixed(decimals));
  return String(rounded === 0 && value !== 0 ? Number(value.toPrecision(2)) : rounded);
}

/**
 * A canonical value in the unit that the person typed. A unit of another dimension (an index or a
 * percentage typed where a temperature is told) falls back to the canonical unit. The digits that
 * conversion there and back adds are dropped.
 *
 * @param value in `canonicalUnit`
 * @example asTyped(74.50046, 'kPa', 'inHg') // { value: 22, unit: 'inHg' }, to ten digits
 */
export function asTyped(value: number, canonicalUnit: Unit, typedUnit: Unit): Quantity {
  const unit = unitOf(canonicalUnit, typedUnit);
  return { value: Number(convert(value, canonicalUnit, unit).toPrecision(10)), unit };
}

/**
 * A canonical value in the unit that the person typed, for a sentence, rounded to what a person can
 * measure; a value that was typed is repeated as typed. The exact value belongs in a field. As
 * `asTyped` for a unit of another dimension.
 *
 * @param value in `canonicalUnit`
 * @param rounding 'down' for what must not be passed, 'up' for what must be reached
 * @example say(74.5005, 'kPa', 'inHg') // '22 inHg'
 * @example say(18.25, 'L', 'qt') // '19.5 qt', from 19.28
 * @example say(26.85, 'N.m', 'N.m', 'down') // '26.8 N·m'
 */
export function say(
  value: number,
  canonicalUnit: Unit,
  typedUnit: Unit = canonicalUnit,
  rounding: Rounding = 'nearest',
): string {
  const { value: exact, unit } = asTyped(value, canonicalUnit, typedUnit);
  return `${plain(roundedToRead(exact, unit, rounding))} ${unitInWords(unit)}`;
}

function unitOf(canonicalUnit: Unit, typedUnit: Unit): Unit {
  return dimensionOf(typedUnit) === dimensionOf(canonicalUnit) ? typedUnit : canonicalUnit;
}
