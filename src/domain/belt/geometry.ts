import { requireFinite, requireNotNegative, requirePositive } from '../quantities/plausible.js';
import { plain } from '../quantities/wording.js';
import { ImpossibleValue } from '../impossible-value.js';

/** Greatest misalignment of automotive V-ribbed drives: 0.58 mm in 100 mm, which is 0.33° (SAE J1596). */
export const ALIGNMENT_LIMIT_DEGREES = (Math.atan(0.58 / 100) * 180) / Math.PI;

/**
 * Angle by which a belt runs out of line between two pulleys.
 *
 * Source: plane geometry; limit from SAE J1596.
 *
 * @param offsetMm mm, how far one pulley stands aside; the side does not matter
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

/** Two pulleys and the belt's thickness; diameters in mm, outside, where the belt's thickness counts. */
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
    const detail = `${plain(slip)} % must not be above 100 %`;
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
 * @returns %; negative when the driven pulley turns faster than the belt can drive it, which is a wrong reading
 * @throws ImpossibleValue for diameters or a driver's speed that are not above zero.
 * @example slipPercent({ driverDiameterMm: 150, drivenDiameterMm: 100 }, 1000, 1455) // 3
 */
export function slipPercent(drive: BeltDrive, driverRpm: number, measuredDrivenRpm: number): number {
  requirePositive('driverRpm', driverRpm, 'rpm');
  requireNotNegative('drivenRpm', measuredDrivenRpm, 'rpm');
  return 100 * (1 - measuredDrivenRpm / (driverRpm * diameterRatio(drive)));
}

/**
 * Length of an open belt round two pulleys: 2C·cos α + (π/2)(D + d) + α(D − d), sin α = (D − d)/2C.
 *
 * Source: plane geometry, as in any text on belt drives.
 *
 * @param firstDiameter any length unit
 * @param secondDiameter the same unit
 * @param centreDistance the same unit
 * @returns the same unit
 * @throws ImpossibleValue when the pulleys overlap or a length is not above zero.
 * @example openBeltLength(1.6, 0.5, 12) // 27.323885
 */
export function openBeltLength(
  firstDiameter: number,
  secondDiameter: number,
  centreDistance: number,
): number {
  requirePositive('first diameter', firstDiameter, '');
  requirePositive('second diameter', secondDiameter, '');
  requirePositive('centre distance', centreDistance, '');
  if (2 * centreDistance < firstDiameter + secondDiameter) {
    throw new ImpossibleValue({
      field: 'centre distance',
      value: centreDistance,
      limit: { min: (firstDiameter + secondDiameter) / 2 },
      detail: `${plain(centreDistance)} is too short for pulleys of ${plain(firstDiameter)} and ${plain(secondDiameter)}: they would overlap`,
    });
  }
  const difference = Math.abs(firstDiameter - secondDiameter);
  const alpha = Math.asin(difference / (2 * centreDistance));
  return (
    2 * centreDistance * Math.cos(alpha) +
    (Math.PI / 2) * (firstDiameter + secondDiameter) +
    alpha * difference
  );
}

function diameterRatio(drive: BeltDrive): number {
  const thicknessMm = requireNotNegative('belt thickness', drive.beltThicknessMm ?? 0, 'mm');
  const driver = requirePositive('driverDiameter', drive.driverDiameterMm, 'mm') + thicknessMm;
  return driver / (requirePositive('drivenDiameter', drive.drivenDiameterMm, 'mm') + thicknessMm);
}
