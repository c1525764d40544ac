import type { CommonPractice } from '../evaluation/common-practice.js';
import { systemOf } from '../quantities/measures.js';
import type { Message } from '../message.js';
import { requirePositive } from '../quantities/plausible.js';
import { told } from '../quantities/told.js';
import type { Unit } from '../quantities/units.js';
import { message } from './messages.js';
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
  basis: Message[];
}

/**
 * The procedure for a test: the spec sheet's where it is for this method, else common practice
 * (vacuum: 1 inHg in 5 minutes; pressure: the cap's rating, 7 kPa in 5 minutes). Each default is
 * named in `basis`.
 *
 * @param test its method, the gauge's resolution in kPa and the unit that was typed
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
  const sheetMethod = limits.procedureMethod ?? test.method;
  const isForOther = sheetMethod !== test.method;
  // What is for the other method is not used, but what the system can bear holds for both.
  const own: HoldTestLimits = isForOther ? {} : limits;
  const basis: Message[] = [];
  if (isForOther)
    basis.push(message('basis-hold-test-other-method', { sheet: sheetMethod, method: test.method }));
  const { allowedLossKpa, minutes, gaugeResolutionKpa } = orCommonPractice(test, own, practice, basis);
  const targetKpa = isVacuum
    ? seaLevelTarget(own, test.unit, basis)
    : pressureTarget(own, limits.capRatingKpa ?? null, test.unit, basis);
  // Below about half the air pressure the flow through a leak is choked: it grows with the air
  // pressure outside alone, as the target does.
  if (isVacuum) basis.push(message('basis-hold-test-choked-flow'));
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
  basis: Message[],
): { allowedLossKpa: number; minutes: number; gaugeResolutionKpa: number } {
  const usual =
    method === 'vacuum'
      ? { lossKpa: practice.vacuumAllowedLossKpa, resolutionKpa: practice.vacuumGaugeResolutionKpa }
      : { lossKpa: practice.pressureAllowedLossKpa, resolutionKpa: practice.pressureGaugeResolutionKpa };
  const allowedLossKpa = own.allowedLossKpa ?? usual.lossKpa;
  if (own.allowedLossKpa == null)
    basis.push(message('basis-hold-test-usual-loss', { loss: told(method, allowedLossKpa, unit, 'down') }));
  const minutes = own.allowedMinutes ?? practice.holdMinutes;
  if (own.allowedMinutes == null) basis.push(message('basis-hold-test-usual-minutes', { minutes }));
  const gaugeResolutionKpa = test.gaugeResolutionKpa ?? usual.resolutionKpa;
  if (test.gaugeResolutionKpa == null)
    basis.push(message('basis-hold-test-usual-gauge', { division: told(method, gaugeResolutionKpa, unit) }));
  requirePositive('allowedLoss', allowedLossKpa, 'kPa');
  requirePositive('minutes allowed', minutes, 'minutes');
  return { allowedLossKpa, minutes, gaugeResolutionKpa };
}

/** @returns kPa of vacuum at sea level; null where the sheet has none, for there is no default */
function seaLevelTarget(own: HoldTestLimits, unit: Unit, basis: Message[]): number | null {
  const targetKpa = own.targetKpa ?? null;
  if (targetKpa !== null)
    basis.push(
      message('basis-hold-test-target-at-sea-level', {
        target: told('vacuum', targetKpa, unit),
        rule: systemOf(unit) === 'us' ? 'per-1000-ft' : 'per-1000-m',
      }),
    );
  return targetKpa;
}

/** @returns kPa gauge; null where neither a target nor a cap's rating is known */
function pressureTarget(
  own: HoldTestLimits,
  capRatingKpa: number | null,
  unit: Unit,
  basis: Message[],
): number | null {
  if (own.targetKpa != null || capRatingKpa === null) return own.targetKpa ?? null;
  basis.push(message('basis-hold-test-at-cap-rating', { rating: told('pressure', capRatingKpa, unit) }));
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
