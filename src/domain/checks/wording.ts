import { convert, dimensionOf, type Quantity, type Unit } from '../quantities/units.js';

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
  const decimals = size >= 1000 ? 0 : size >= 100 ? 1 : size >= 1 ? 2 : 3;
  const rounded = Number(value.toFixed(decimals));
  return String(rounded === 0 && value !== 0 ? Number(value.toPrecision(2)) : rounded);
}

/**
 * A canonical value in the unit that the person typed. A unit of another dimension (an index or a
 * percentage typed where a
 * temperature is told) falls back to the canonical unit. The digits that conversion there and back
 * adds are dropped.
 *
 * @param value in `canonicalUnit`
 * @example asTyped(74.50046, 'kPa', 'inHg') // { value: 22, unit: 'inHg' }, to ten digits
 */
export function asTyped(value: number, canonicalUnit: Unit, typedUnit: Unit): Quantity {
  const unit = unitOf(canonicalUnit, typedUnit);
  return { value: Number(convert(value, canonicalUnit, unit).toPrecision(10)), unit };
}

/**
 * A canonical value in the unit that the person typed, for a sentence; as `asTyped` for a unit of
 * another dimension.
 *
 * @param value in `canonicalUnit`
 * @example say(74.5005, 'kPa', 'inHg') // '22 inHg'
 */
export function say(value: number, canonicalUnit: Unit, typedUnit: Unit = canonicalUnit): string {
  const unit = unitOf(canonicalUnit, typedUnit);
  return `${plain(convert(value, canonicalUnit, unit))} ${unitInWords(unit)}`;
}

function unitOf(canonicalUnit: Unit, typedUnit: Unit): Unit {
  return dimensionOf(typedUnit) === dimensionOf(canonicalUnit) ? typedUnit : canonicalUnit;
}

/** A temperature difference for a sentence: it carries no offset. @param kelvin K @example sayChange(10, 'F') // '18 °F' */
export function sayChange(kelvin: number, typedUnit: Unit = 'C'): string {
  return typedUnit === 'F' ? `${plain(kelvin * 1.8)} °F` : `${plain(kelvin)} °C`;
}
