import type { CommonPractice } from '../evaluation/common-practice.js';
import { requirePositive } from '../quantities/plausible.js';
import { plain, say } from '../quantities/wording.js';
import { systemOf } from '../quantities/measures.js';
import type { Unit } from '../quantities/units.js';
import { targetVacuumHereKpa } from './vacuum-limit.js';

/** What the spec sheet (or the person at the calculator) says of the test; null and absent mean unknown. */
export interface HoldTestLimits {
  /** The method that the target, loss and minutes belong to; they are not used for another. */
  procedureMethod?: 'vacuum' | 'pressure' | null;
  /** At sea level for a vacuum. */
  targetKpa?: number | null;
  /** At sea level for a vacuum. */
  allowedLossKpa?: number | null;
  allowedMinutes?: number | null;
  capRatingKpa?: number | null;
  /** The lower of this and the cap's rating is the greatest pressure to be put on the system. */
  maxTestPressureKpa?: number | null;
}

/** The limits that a test is judged by, defaults filled in. */
export interface HoldTestProcedure {
  minutes: number;
  gaugeResolutionKpa: number;
  greatestPressureKpa: number | null;
  targetHereKpa(atmosphereKpa: number): number | null;
  allowedLossHereKpa(atmosphereKpa: number): number;
  basis: string[];
}

/**
 * The procedure for a test: the spec sheet's where it is for this method, else common practice (vacuum: 1 inHg in 5 minutes; pressure: the cap's rating, 7 kPa in 5
 * minutes). Each default is named in `basis`.
 *
 * @param test its method, the gauge's resolution in kPa and the unit for wording
 * @param limits kPa and minutes
 * @throws ImpossibleValue for a limit that is not above zero.
 * @example holdTestProcedure({ method: 'pressure', unit: 'psi' }, { capRatingKpa: 110 }, COMMON_PRACTICE).allowedLossHereKpa(84.56) // 7
 */
export function holdTestProcedure(
  test: { method: 'vacuum' | 'pressure'; unit: Unit; gaugeResolutionKpa?: number | null },
  limits: HoldTestLimits,
  practice: CommonPractice,
): HoldTestProcedure {
  const { method, unit } = test;
  const basis: string[] = [];
  const vacuum = method === 'vacuum';
  const other = limits.procedureMethod != null && limits.procedureMethod !== method;
  if (other)
    basis.push(
      `the procedure on the spec sheet is for a ${limits.procedureMethod} test and was not used for this ${method} test`,
    );

  let allowedLossKpa = other ? null : (limits.allowedLossKpa ?? null);
  if (allowedLossKpa === null) {
    allowedLossKpa = vacuum ? practice.vacuumAllowedLossKpa : practice.pressureAllowedLossKpa;
    basis.push(`allowed loss ${say(allowedLossKpa, 'kPa', unit, 'down')} (common practice)`);
  }
  let minutes = other ? null : (limits.allowedMinutes ?? null);
  if (minutes === null) {
    minutes = practice.holdMinutes;
    basis.push(`held for ${plain(minutes)} minutes (common practice)`);
  }
  let gaugeResolutionKpa = test.gaugeResolutionKpa ?? null;
  if (gaugeResolutionKpa === null) {
    gaugeResolutionKpa = vacuum ? practice.vacuumGaugeResolutionKpa : practice.pressureGaugeResolutionKpa;
    basis.push(`gauge read to ${say(gaugeResolutionKpa, 'kPa', unit)} (common practice)`);
  }
  requirePositive('allowedLoss', allowedLossKpa, 'kPa');
  requirePositive('minutes allowed', minutes, 'minutes');

  const capRatingKpa = limits.capRatingKpa ?? null;
  let targetKpa = other ? null : (limits.targetKpa ?? null);
  if (targetKpa === null && !vacuum && capRatingKpa !== null) {
    targetKpa = capRatingKpa;
    basis.push(`pressure test at the cap's rating, ${say(capRatingKpa, 'kPa', unit)} (common practice)`);
  }
  if (targetKpa !== null && vacuum)
    basis.push(
      `target ${say(targetKpa, 'kPa', unit)} at sea level, reduced with the air pressure (trade rule: ${systemOf(unit) === 'us' ? '1 inHg per 1,000 ft' : '11 kPa per 1000 m'})`,
    );
  // Below about half the air pressure the flow through a leak is choked: it grows with the air
  // pressure outside alone, as the target does.
  if (vacuum) basis.push('the loss allowed is reduced with the air pressure as the target is (choked flow)');
  const perSeaLevelKpa = allowedLossKpa;
  return {
    minutes,
    gaugeResolutionKpa,
    greatestPressureKpa: greatestTestPressureKpa(capRatingKpa, limits.maxTestPressureKpa),
    targetHereKpa: (atmosphereKpa) =>
      targetKpa !== null && vacuum ? targetVacuumHereKpa(targetKpa, atmosphereKpa) : targetKpa,
    allowedLossHereKpa: (atmosphereKpa) =>
      vacuum ? targetVacuumHereKpa(perSeaLevelKpa, atmosphereKpa) : perSeaLevelKpa,
    basis,
  };
}

/**
 * The greatest pressure to be put on a system: the lower of its cap's rating and the sheet's own
 * limit.
 *
 * @param capRatingKpa kPa, or null
 * @param maxTestPressureKpa kPa, or null
 * @returns kPa; null where neither is known
 * @example greatestTestPressureKpa(110.3, 137.9) // 110.3
 */
export function greatestTestPressureKpa(
  capRatingKpa: number | null | undefined,
  maxTestPressureKpa: number | null | undefined,
): number | null {
  const known = [capRatingKpa ?? null, maxTestPressureKpa ?? null].filter((kpa) => kpa !== null);
  return known.length === 0 ? null : Math.min(...known);
}
