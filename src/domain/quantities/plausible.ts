import { ImpossibleValue } from '../impossible-value.js';
import { convert } from './units.js';
import { plain } from './wording.js';

/**
 * Numbers arrive from phones and other programs: NaN and infinities are told by the field's name.
 * @param index the value's place in a list @throws ImpossibleValue
 */
export function requireFinite(field: string, value: number, index: number | null = null): number {
  if (!Number.isFinite(value)) {
    throw new ImpossibleValue({
      field,
      index,
      value,
      detail: `${value} is not a number that can be worked with`,
    });
  }
  return value;
}

/**
 * @param index the value's place in a list @throws ImpossibleValue naming the field when the value
 * is not above zero.
 */
export function requirePositive(
  field: string,
  value: number,
  unitWords: string,
  index: number | null = null,
): number {
  requireFinite(field, value, index);
  if (value <= 0) {
    const detail = `${plain(value)} ${unitWords} must be more than 0`;
    throw new ImpossibleValue({ field, index, value, limit: { above: 0 }, detail });
  }
  return value;
}

/** @throws ImpossibleValue naming the field when the value is below zero. */
export function requireNotNegative(field: string, value: number, unitWords: string): number {
  requireFinite(field, value);
  if (value < 0) {
    const detail = `${plain(value)} ${unitWords} must not be below 0`;
    throw new ImpossibleValue({ field, value, limit: { min: 0 }, detail });
  }
  return value;
}

/** @throws ImpossibleValue naming the field when a share is outside 0 to 100 %. */
export function requirePercent(field: string, value: number): number {
  requireFinite(field, value);
  if (value < 0 || value > 100) {
    const detail = `${plain(value)} % must be from 0 to 100 %`;
    throw new ImpossibleValue({ field, value, limit: { min: 0, max: 100 }, detail });
  }
  return value;
}

/**
 * A coolant or air temperature that a cooling system on a vehicle can have, -60 to 150 °C.
 *
 * @param valueC °C
 * @throws ImpossibleValue beyond these; where the same number makes sense in °F, says so.
 * @example requireCoolantTemperature('coolantTemperature', 195) // throws: … was it 195 °F (90.56 °C)?
 */
export function requireCoolantTemperature(field: string, valueC: number): number {
  requireFinite(field, valueC);
  if (valueC >= -60 && valueC <= 150) return valueC;
  const asFahrenheitC = convert(valueC, 'F', 'C');
  const isFahrenheit = valueC > 150 && asFahrenheitC <= 150;
  const question = isFahrenheit ? `: was it ${plain(valueC)} °F (${plain(asFahrenheitC)} °C)?` : '';
  throw new ImpossibleValue({
    field,
    value: { value: valueC, unit: 'C' },
    limit: { min: { value: -60, unit: 'C' }, max: { value: 150, unit: 'C' } },
    meant: isFahrenheit ? { value: valueC, unit: 'F' } : null,
    detail: `${plain(valueC)} °C is outside what a cooling system can have, -60 to 150 °C${question}`,
  });
}
