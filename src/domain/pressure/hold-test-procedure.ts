import type { CommonPractice } from '../evaluation/common-practice.js';
import { systemOf } from '../quantities/measures.js';
import { requirePositive } from '../quantities/plausible.js';
import type { Unit } from '../quantities/units.js';
import { plain, say } from '../quantities/wording.js';
import { targetVacuumHereKpa } from './vacuum-limit.js';

/**
 * What the spec sheet (or the person at the calculator) says of the test; null and absent mean
 * unknown.
 */
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
 * The procedure for a test: the spec sheet's where it is for this method, else common practice
 * (vacuum: 1 inHg in 5 minutes; pressure: the cap's rating, 7 kPa in 5 minutes). Each default is
 * named in `basis`.
 *
 * @param test its method, the gauge's resolution in kPa and the unit for wording
 * @param limits kPa and minutes
 * @throws ImpossibleValue for a limit that is not above zero.
 * @example holdTestProcedure({ method: 'pressure', unit: 'psi' }, { capRatingKpa: 110 }, COMMON_PRACTICE).allowedLossHereKpa(84.56) // 7
 */
export function holdTestProcedure(
  test: TestAsked,
  limits: HoldTestLimits,
  practice: CommonPractice,
): HoldTestProcedure {
  const isVacuum = test.method === 'vacuum';
  const isForOther = limits.procedureMethod != null && limits.procedureMethod !== test.method;
  // What is for the other method is not used, but what the system can bear holds for both.
  const own: HoldTestLimits = isForOther ? {} : limits;
  const basis: string[] = [];
  if (isForOther)
    basis.push(
      `the procedure on the spec sheet is for a ${limits.procedureMethod} test and was not used for this ${test.method} test`,
    );
  const { allowedLossKpa, minutes, gaugeResolutionKpa } = orCommonPractice(test, own, practice, basis);
  const targetKpa = isVacuum
    ? seaLevelTarget(own, test.unit, basis)
    : pressureTarget(own, limits.capRatingKpa ?? null, test.unit, basis);
  // Below about half the air pressure the flow through a leak is choked: it grows with the air
  // pressure outside alone, as the target does.
  if (isVacuum)
    basis.push('the loss allowed is reduced with the air pressure as the target is (choked flow)');
  return {
    minutes,
    gaugeResolutionKpa,
    greatestPressureKpa: greatestTestPressureKpa(limits.capRatingKpa, limits.maxTestPressureKpa),
    targetHereKpa: (atmosphereKpa) =>
      targetKpa !== null && isVacuum ? targetVacuumHereKpa(targetKpa, atmosphereKpa) : targetKpa,
    allowedLossHereKpa: (atmosphereKpa) =>
      isVacuum ? targetVacuumHereKpa(allowedLossKpa, atmosphereKpa) : allowedLossKpa,
    basis,
  };
}

/** A test to be made, or made. */
interface TestAsked {
  method: 'vacuum' | 'pressure';
  unit: Unit;
  gaugeResolutionKpa?: number | null;
}

/**
 * The loss allowed, how long, and how finely the gauge is read; each default is named in the basis.
 */
function orCommonPractice(
  { method, unit, ...test }: TestAsked,
  own: HoldTestLimits,
  practice: CommonPractice,
  basis: string[],
): { allowedLossKpa: number; minutes: number; gaugeResolutionKpa: number } {
  const usual =
    method === 'vacuum'
      ? { lossKpa: practice.vacuumAllowedLossKpa, resolutionKpa: practice.vacuumGaugeResolutionKpa }
      : { lossKpa: practice.pressureAllowedLossKpa, resolutionKpa: practice.pressureGaugeResolutionKpa };
  const allowedLossKpa = own.allowedLossKpa ?? usual.lossKpa;
  if (own.allowedLossKpa == null)
    basis.push(`allowed loss ${say(allowedLossKpa, 'kPa', unit, 'down')} (common practice)`);
  const minutes = own.allowedMinutes ?? practice.holdMinutes;
  if (own.allowedMinutes == null) basis.push(`held for ${plain(minutes)} minutes (common practice)`);
  const gaugeResolutionKpa = test.gaugeResolutionKpa ?? usual.resolutionKpa;
  if (test.gaugeResolutionKpa == null)
    basis.push(`gauge read to ${say(gaugeResolutionKpa, 'kPa', unit)} (common practice)`);
  requirePositive('allowedLoss', allowedLossKpa, 'kPa');
  requirePositive('minutes allowed', minutes, 'minutes');
  return { allowedLossKpa, minutes, gaugeResolutionKpa };
}

/** @returns kPa of vacuum at sea level; null where the sheet has none, for there is no default */
function seaLevelTarget(own: HoldTestLimits, unit: Unit, basis: string[]): number | null {
  const targetKpa = own.targetKpa ?? null;
  if (targetKpa !== null)
    basis.push(
      `target ${say(targetKpa, 'kPa', unit)} at sea level, reduced with the air pressure (trade rule: ${systemOf(unit) === 'us' ? '1 inHg per 1,000 ft' : '11 kPa per 1000 m'})`,
    );
  return targetKpa;
}

/** @returns kPa gauge; null where neither a target nor a cap's rating is known */
function pressureTarget(
  own: HoldTestLimits,
  capRatingKpa: number | null,
  unit: Unit,
  basis: string[],
): number | null {
  if (own.targetKpa != null || capRatingKpa === null) return own.targetKpa ?? null;
  basis.push(`pressure test at the cap's rating, ${say(capRatingKpa, 'kPa', unit)} (common practice)`);
  return capRatingKpa;
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
