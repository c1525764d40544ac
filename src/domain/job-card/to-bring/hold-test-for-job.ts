import type { Atmosphere } from '../../atmosphere/atmosphere.js';
import type { CommonPractice } from '../../evaluation/common-practice.js';
import { downToDivisionKpa, sayAllowedLoss } from '../../pressure/gauge-division.js';
import { holdTestProcedure, type HoldTestLimits } from '../../pressure/hold-test-procedure.js';
import { overPressure } from '../../pressure/over-pressure.js';
import { greatestVacuumKpa } from '../../pressure/vacuum-limit.js';
import type { Message } from '../../message.js';
import { measure, type Measure, MEASURES, type UnitSystem } from '../../quantities/measures.js';
import { plain, say } from '../../quantities/wording.js';

/** The hold test of a job card; a vacuum is a positive number. */
export interface HoldTestForJob {
  method: 'vacuum' | 'pressure';
  /** At the place of work; null where it is not known, or must not be put on the system. */
  target: Measure | null;
  /** As the sheet has it, for a vacuum; null for a pressure. */
  targetAtSeaLevel: Measure | null;
  /**
   * The deepest vacuum that the air at the place can give, on a dry system; null for a pressure
   * test.
   */
  greatestVacuum: Measure | null;
  /** What the system may be tested at; null for a vacuum, or where no rating is known. */
  greatestPressure: Measure | null;
  minutes: number;
  /** At the place of work. */
  allowedLoss: Measure;
}

/**
 * The hold-test procedure for a job at a place: the sheet's, or common practice; a vacuum's target
 * and allowed loss reduced with the air pressure there.
 *
 * Source: `holdTestProcedure` (defaults) and `targetVacuumHereKpa` (trade rule: the same share of
 * the atmosphere).
 *
 * @param method of the test wanted
 * @param limits the sheet's; kPa, minutes
 * @param atmosphere at the place of work
 * @param units for wording
 * @param practice the defaults of the trade, or the fleet's own
 * @returns the card's part, and what kept it from being complete
 * @example holdTestForJob('vacuum', { procedureMethod: 'vacuum', targetKpa: 77.887 }, atmosphereAt({ elevationM: 1500 }), 'us', COMMON_PRACTICE).test.target // 65.0 kPa = 19.19 inHg
 */
export function holdTestForJob(
  method: 'vacuum' | 'pressure',
  limits: HoldTestLimits,
  atmosphere: Atmosphere,
  units: UnitSystem,
  practice: CommonPractice,
): { test: HoldTestForJob; missing: string[]; basis: Message[] } {
  const kind = method;
  const unit = MEASURES[kind][units];
  const missing: string[] = [];
  // The card prescribes no gauge, so that its resolution is not part of the basis.
  const procedure = holdTestProcedure({ method, unit, gaugeResolutionKpa: 1 }, limits, practice);
  let targetKpa = procedure.targetHereKpa(atmosphere.kpa);
  if (targetKpa === null) {
    missing.push(
      method === 'vacuum'
        ? "The sheet has no target for the vacuum: take it from the vehicle maker's information."
        : "Neither a cap rating nor a test pressure is known: take it from the vehicle maker's information.",
    );
  }
  if (method === 'pressure' && targetKpa !== null) {
    const tooHigh = overPressure(
      { startKpa: targetKpa, endKpa: targetKpa, unit },
      procedure.greatestPressureKpa,
      'record',
    );
    if (tooHigh !== null) {
      missing.push(
        `The sheet asks for ${say(targetKpa, 'kPa', unit)}, above the ${say(procedure.greatestPressureKpa ?? 0, 'kPa', unit)} that this system may be tested at: put the sheet right; do not test at it.`,
      );
      targetKpa = null;
    }
  }
  const isVacuum = method === 'vacuum';
  const atSeaLevelKpa = isVacuum && limits.procedureMethod === method ? (limits.targetKpa ?? null) : null;
  const { greatestPressureKpa } = procedure;
  return {
    test: {
      method,
      target: targetKpa === null ? null : measure(kind, targetKpa),
      targetAtSeaLevel: atSeaLevelKpa === null ? null : measure(kind, atSeaLevelKpa),
      greatestVacuum: isVacuum ? measure('vacuum', greatestVacuumKpa(atmosphere.kpa)) : null,
      greatestPressure:
        isVacuum || greatestPressureKpa === null ? null : measure('pressure', greatestPressureKpa),
      minutes: procedure.minutes,
      allowedLoss: measure(kind, procedure.allowedLossHereKpa(atmosphere.kpa)),
    },
    missing,
    basis: procedure.basis,
  };
}

/**
 * The hold test as a mechanic reads it off a gauge: the target rounded down to the gauge's
 * division.
 *
 * @param units for wording
 * @param practice for the gauge's division
 * @example holdTestInWords(test, 'us', COMMON_PRACTICE) // 'Pull 19 inHg, close the valve, wait 5 min. It may drop 0.8 inHg'
 */
export function holdTestInWords(
  { method, target, minutes, allowedLoss }: HoldTestForJob,
  units: UnitSystem,
  practice: CommonPractice,
): string {
  const isVacuum = method === 'vacuum';
  const unit = MEASURES[method][units];
  const resolutionKpa = isVacuum ? practice.vacuumGaugeResolutionKpa : practice.pressureGaugeResolutionKpa;
  const to =
    target === null
      ? "what the vehicle maker's information says"
      : say(
          isVacuum ? downToDivisionKpa(target.value, resolutionKpa, unit) : target.value,
          'kPa',
          unit,
          'down',
        );
  return `${isVacuum ? 'Pull' : 'Pump up to'} ${to}, close the valve, wait ${plain(minutes)} min. It may drop ${sayAllowedLoss(allowedLoss.value, resolutionKpa, unit)}`;
}
