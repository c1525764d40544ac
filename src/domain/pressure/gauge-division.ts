import { convert, type Unit } from '../quantities/units.js';
import { told, type Told } from '../quantities/told.js';

// A target of 64.9997 kPa is 65 on every gauge.
const TOLERANCE = 1e-3;
const STEPS = [5, 2, 1];

/**
 * The division of a gauge, in the unit it is read in. A default from another unit, such as ½ inHg
 * on a gauge in kPa, becomes the next smaller step that gauges have: 1, 2 or 5 times a power of
 * ten (common practice).
 *
 * @param resolutionKpa kPa, the smallest step that is read
 * @returns in `unit`
 * @example gaugeDivision(1.693194, 'inHg') // 0.5
 * @example gaugeDivision(1.693194, 'kPa') // 1
 */
export function gaugeDivision(resolutionKpa: number, unit: Unit): number {
  const size = convert(resolutionKpa, 'kPa', unit);
  const round = Number(size.toPrecision(2));
  if (Math.abs(size - round) <= 1e-6 * size) return round;
  const decade = 10 ** Math.floor(Math.log10(size));
  return (STEPS.find((step) => step * decade <= size) ?? 1) * decade;
}

/**
 * A pressure as the gauge can show it, rounded down to its division: a target that nobody can read
 * is no target.
 *
 * @param kpa kPa
 * @param resolutionKpa kPa, the smallest step that is read
 * @param unit the unit the gauge is read in
 * @returns kPa
 * @example downToDivisionKpa(64.99969, 1.693194, 'inHg') // 64.341 kPa: 19 inHg, from 19.19
 */
export function downToDivisionKpa(kpa: number, resolutionKpa: number, unit: Unit): number {
  return down(kpa, gaugeDivision(resolutionKpa, unit), unit);
}

/**
 * An allowed loss for a message, rounded down to a tenth of a division, which is as fine as a
 * needle can be read.
 *
 * @param kpa kPa
 * @example toldAllowedLoss('vacuum', 2.82628, 1.693194, 'inHg') // in words: '0.8 inHg', from 0.835
 */
export function toldAllowedLoss(
  method: 'vacuum' | 'pressure',
  kpa: number,
  resolutionKpa: number,
  unit: Unit,
): Told {
  const rounded = down(kpa, gaugeDivision(resolutionKpa, unit) / 10, unit);
  return told(method, rounded > 0 ? rounded : kpa, unit);
}

function down(kpa: number, step: number, unit: Unit): number {
  return convert(Math.floor(convert(kpa, 'kPa', unit) / step + TOLERANCE) * step, unit, 'kPa');
}
