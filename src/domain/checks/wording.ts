import { convert, dimensionOf, type Unit } from '../quantities/units.js';

const SYMBOLS: Partial<Record<Unit, string>> = {
  C: '°C',
  F: '°F',
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
 * A canonical value in the unit that the person typed, for a sentence. A unit of another dimension (an index or a percentage
 * typed where a temperature is told) falls back to the canonical unit.
 *
 * @param value in `canonicalUnit`
 * @example say(74.5005, 'kPa', 'inHg') // '22 inHg'
 */
export function say(value: number, canonicalUnit: Unit, typedUnit: Unit = canonicalUnit): string {
  const unit = dimensionOf(typedUnit) === dimensionOf(canonicalUnit) ? typedUnit : canonicalUnit;
  return `${plain(convert(value, canonicalUnit, unit))} ${unitInWords(unit)}`;
}

/** A temperature difference for a sentence: it carries no offset. @param kelvin K @example sayChange(10, 'F') // '18 °F' */
export function sayChange(kelvin: number, typedUnit: Unit = 'C'): string {
  return typedUnit === 'F' ? `${plain(kelvin * 1.8)} °F` : `${plain(kelvin)} °C`;
}
