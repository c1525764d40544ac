import { ImpossibleValue } from '../impossible-value.js';
import { message, type UnitTold } from './messages.js';
import { toldToTenth } from './told.js';
import { convert } from './units.js';

/** A unit to tell a refused value with; empty for a number without one. */
type UnitWords = UnitTold | '';

const unitTold = (words: UnitWords): UnitTold => (words === '' ? 'none' : words);

/**
 * Refuses NaN and infinities, which phones and other programs do send.
 *
 * @param index the value's place in a list
 * @throws ImpossibleValue naming the field
 */
export function requireFinite(field: string, value: number, index: number | null = null): number {
  if (!Number.isFinite(value)) {
    const detail = message('number-not-finite', { value: String(value) });
    throw new ImpossibleValue({ field, index, value, detail });
  }
  return value;
}

/**
 * Refuses a value that is not above zero.
 *
 * @param unitWords the unit of the value
 * @param index the value's place in a list
 * @throws ImpossibleValue naming the field
 */
export function requirePositive(
  field: string,
  value: number,
  unitWords: UnitWords,
  index: number | null = null,
): number {
  requireFinite(field, value, index);
  if (value <= 0) {
    const detail = message('number-not-above-zero', { value, unit: unitTold(unitWords) });
    throw new ImpossibleValue({ field, index, value, limit: { above: 0 }, detail });
  }
  return value;
}

/** Refuses a value below zero. @throws ImpossibleValue naming the field */
export function requireNotNegative(field: string, value: number, unitWords: UnitWords): number {
  requireFinite(field, value);
  if (value < 0) {
    const detail = message('number-below-zero', { value, unit: unitTold(unitWords) });
    throw new ImpossibleValue({ field, value, limit: { min: 0 }, detail });
  }
  return value;
}

/** Refuses a share outside 0 to 100 %. @throws ImpossibleValue naming the field */
export function requirePercent(field: string, value: number): number {
  requireFinite(field, value);
  if (value < 0 || value > 100) {
    const detail = message('percent-outside-0-to-100', { value });
    throw new ImpossibleValue({ field, value, limit: { min: 0, max: 100 }, detail });
  }
  return value;
}

const LEAST_C = -60;
const MOST_C = 150;

/**
 * Refuses a temperature that no cooling system on a vehicle can have: -60 to 150 °C.
 *
 * @param valueC °C
 * @throws ImpossibleValue beyond these; where the same number makes sense in °F, it asks.
 * @example requireCoolantTemperature('coolantTemperature', 195) // throws: … Was it 195 °F?
 */
export function requireCoolantTemperature(field: string, valueC: number): number {
  requireFinite(field, valueC);
  if (valueC >= LEAST_C && valueC <= MOST_C) return valueC;
  const isFahrenheit = valueC > MOST_C && convert(valueC, 'F', 'C') <= MOST_C;
  throw new ImpossibleValue({
    field,
    value: { value: valueC, unit: 'C' },
    limit: { min: { value: LEAST_C, unit: 'C' }, max: { value: MOST_C, unit: 'C' } },
    meant: isFahrenheit ? { value: valueC, unit: 'F' } : null,
    detail: message('temperature-outside-cooling-system', {
      temperature: toldToTenth('temperature', valueC),
      least: toldToTenth('temperature', LEAST_C),
      most: toldToTenth('temperature', MOST_C),
      meant: isFahrenheit ? 'fahrenheit' : 'unknown',
      typed: valueC,
    }),
  });
}
