import type { CommonPractice } from '../checks/common-practice.js';
import { requirePositive } from '../checks/plausible.js';
import { plain, say } from '../checks/wording.js';
import type { Unit } from '../quantities/units.js';
import { targetVacuumHereKpa } from './vacuum-limit.js';

/** What the spec sheet (or the person at the calculator) says of the test; null and absent mean unknown. */
export interface HoldTestLimits {
  /** The method that the target, loss and minutes belong to; they are not used for another. */
  procedureMethod?: 'vacuum' | 'pressure' | null;
  /** At sea level for a vacuum. */
  targetKpa?: number | null;
  allowedLossKpa?: number | null;
  allowedMinutes?: number | null;
  capRatingKpa?: number | null;
  /** Takes the place of the cap's rating as the greatest pressure to be put on the system. */
  maxTestPressureKpa?: number | null;
}

/** The limits that a test is judged by, defaults filled in. */
export interface HoldTestProcedure {
  allowedLossKpa: number;
  minutes: number;
  gaugeResolutionKpa: number;
  greatestPressureKpa: number | null;
  targetHereKpa(atmosphereKpa: number): number | null;
  basis: string[];
}

/**
 * The procedure for a test: the spec sheet's where it is for this method, else common practice (vacuum: 1 inHg in 5 minutes; pressure: the cap's rating, 7 kPa in 5
 * minutes). Each default is named in `basis`.
 *
 * @param test its method, the gauge's resolution in kPa and the unit for wording
 * @param limits kPa and minutes
 * @throws ImpossibleValue for a limit that is not above zero.
 * @example holdTestProcedure({ method: 'pressure', unit: 'psi' }, { capRatingKpa: 110 }, COMMON_PRACTICE).allowedLossKpa // 7
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
    basis.push(`allowed loss ${say(allowedLossKpa, 'kPa', unit)} (common practice)`);
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
      `target ${say(targetKpa, 'kPa', unit)} at sea level, reduced with the air pressure (trade rule: 1 inHg per 1,000 ft)`,
    );
  return {
    allowedLossKpa,
    minutes,
    gaugeResolutionKpa,
    greatestPressureKpa: limits.maxTestPressureKpa ?? capRatingKpa,
    targetHereKpa: (atmosphereKpa) =>
      targetKpa !== null && vacuum ? targetVacuumHereKpa(targetKpa, atmosphereKpa) : targetKpa,
    basis,
  };
}
