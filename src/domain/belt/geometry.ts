import { ImpossibleValue } from '../impossible-value.js';
import { requireFinite, requireNotNegative, requirePositive } from '../quantities/plausible.js';
import { message } from './messages.js';

/**
 * Greatest misalignment of automotive V-ribbed drives: 0.58 mm in 100 mm, which is 0.33° (SAE
 * J1596).
 */
export const ALIGNMENT_LIMIT_DEGREES = (Math.atan(0.58 / 100) * 180) / Math.PI;

/**
 * Angle of a belt that runs out of line between two pulleys.
 *
 * Source: plane geometry; limit from SAE J1596.
 *
 * @param offsetMm mm, how far one pulley is out of line; the side does not matter
 * @param spanMm mm between the points where the belt leaves one pulley and meets the next
 * @returns degrees
 * @throws ImpossibleValue when the span is not above zero.
 * @example alignmentDegrees(0.5, 220) // 0.130
 */
export function alignmentDegrees(offsetMm: number, spanMm: number): number {
  requireFinite('offset', offsetMm);
  requirePositive('span', spanMm, 'mm');
  return (Math.atan(Math.abs(offsetMm) / spanMm) * 180) / Math.PI;
}

/**
 * Two pulleys and the belt's thickness; diameters in mm, outside, where the belt's thickness
 * counts.
 */
export interface BeltDrive {
  driverDiameterMm: number;
  drivenDiameterMm: number;
  /** 0, the default, when the diameters are already those of the belt's own line. */
  beltThicknessMm?: number;
}

/**
 * Speed of the driven pulley at a given slip: N₂ = N₁·(d₁ + t)/(d₂ + t)·(1 − s).
 *
 * Source: *A Textbook of Engineering Mechanics*, belt drives.
 *
 * @param driverRpm rpm
 * @param slip %
 * @returns rpm
 * @throws ImpossibleValue for diameters that are not above zero or a slip outside 0 to 100 %.
 * @example drivenRpm({ driverDiameterMm: 2000, drivenDiameterMm: 1000, beltThicknessMm: 5 }, 120, 3) // 232.2209
 */
export function drivenRpm(drive: BeltDrive, driverRpm: number, slip: number): number {
  requireNotNegative('slip', slip, '%');
  if (slip > 100) {
    const detail = message('belt-slip-above-100', { slip });
    throw new ImpossibleValue({ field: 'slip', value: slip, limit: { max: 100 }, detail });
  }
  return requirePositive('driverRpm', driverRpm, 'rpm') * diameterRatio(drive) * (1 - slip / 100);
}

/**
 * Belt slip from the two speeds: 100·(1 − N₂·d₂/(N₁·d₁)).
 *
 * Source: *A Textbook of Engineering Mechanics*, belt drives.
 *
 * @param driverRpm rpm
 * @param measuredDrivenRpm rpm
 * @returns %; negative when the driven pulley turns faster than the belt can drive it, which is a
 * wrong reading
 * @throws ImpossibleValue for diameters or a driver's speed that are not above zero.
 * @example slipPercent({ driverDiameterMm: 150, drivenDiameterMm: 100 }, 1000, 1455) // 3
 */
export function slipPercent(drive: BeltDrive, driverRpm: number, measuredDrivenRpm: number): number {
  requirePositive('driverRpm', driverRpm, 'rpm');
  requireNotNegative('drivenRpm', measuredDrivenRpm, 'rpm');
  return 100 * (1 - measuredDrivenRpm / (driverRpm * diameterRatio(drive)));
}

function diameterRatio(drive: BeltDrive): number {
  const thicknessMm = requireNotNegative('belt thickness', drive.beltThicknessMm ?? 0, 'mm');
  const driver = requirePositive('driverDiameter', drive.driverDiameterMm, 'mm') + thicknessMm;
  return driver / (requirePositive('drivenDiameter', drive.drivenDiameterMm, 'mm') + thicknessMm);
}
