import { convert } from '../quantities/units.js';
import { plain } from './wording.js';

/** Numbers arrive from phones and other programs: NaN and infinities are told by the field's name. @throws RangeError */
export function requireFinite(field: string, value: number): number {
  if (!Number.isFinite(value))
    throw new RangeError(`${field}: ${value} is not a number that can be worked with`);
  return value;
}

/** @throws RangeError naming the field when the value is not above zero. */
export function requirePositive(field: string, value: number, unitWords: string): number {
  requireFinite(field, value);
  if (value <= 0) throw new RangeError(`${field}: ${plain(value)} ${unitWords} must be more than 0`);
  return value;
}

/** @throws RangeError naming the field when the value is below zero. */
export function requireNotNegative(field: string, value: number, unitWords: string): number {
  requireFinite(field, value);
  if (value < 0) throw new RangeError(`${field}: ${plain(value)} ${unitWords} must not be below 0`);
  return value;
}

/** @throws RangeError naming the field when a share is outside 0 to 100 %. */
export function requirePercent(field: string, value: number): number {
  requireFinite(field, value);
  if (value < 0 || value > 100) throw new RangeError(`${field}: ${plain(value)} % must be from 0 to 100 %`);
  return value;
}

/**
 * A coolant or air temperature that a cooling system on a vehicle can have, -60 to 150 °C.
 *
 * @param valueC °C
 * @throws RangeError beyond these; where the same number makes sense in °F, says so.
 * @example requireCoolantTemperature('coolantTemperature', 195) // throws: … was it 195 °F (90.56 °C)?
 */
export function requireCoolantTemperature(field: string, valueC: number): number {
  requireFinite(field, valueC);
  if (valueC >= -60 && valueC <= 150) return valueC;
  const asFahrenheitC = convert(valueC, 'F', 'C');
  const meant =
    valueC > 150 && asFahrenheitC <= 150 ? `: was it ${plain(valueC)} °F (${plain(asFahrenheitC)} °C)?` : '';
  throw new RangeError(
    `${field}: ${plain(valueC)} °C is outside what a cooling system can have, -60 to 150 °C${meant}`,
  );
}
