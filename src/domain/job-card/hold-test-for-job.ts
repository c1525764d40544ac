import type { CommonPractice } from '../checks/common-practice.js';
import { say } from '../checks/wording.js';
import { overPressure } from '../pressure/over-pressure.js';
import type { Atmosphere } from '../pressure/atmosphere.js';
import { holdTestProcedure, type HoldTestLimits } from '../pressure/hold-test-procedure.js';
import { greatestVacuumKpa } from '../pressure/vacuum-limit.js';
import { measure, type Measure, MEASURES, type UnitSystem } from '../quantities/measures.js';

/** The hold test of a job card; a vacuum is a positive number. */
export interface HoldTestForJob {
  method: 'vacuum' | 'pressure';
  /** At the place of work; null where it is not known, or must not be put on the system. */
  target: Measure | null;
  /** As the sheet has it, for a vacuum; null for a pressure. */
  targetAtSeaLevel: Measure | null;
  /** The deepest vacuum that the air at the place can give, on a dry system; null for a pressure test. */
  greatestVacuum: Measure | null;
  /** What the system may be tested at; null for a vacuum, or where no rating is known. */
  greatestPressure: Measure | null;
  minutes: number;
  allowedLoss: Measure;
}

/**
 * The hold-test procedure for a job at a place: the sheet's, or common practice; a vacuum's target reduced with the air pressure there.
 *
 * Source: `holdTestProcedure` (defaults) and `targetVacuumHereKpa` (trade rule: the same share of the atmosphere).
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
): { test: HoldTestForJob; missing: string[]; basis: string[] } {
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
      allowedLoss: measure(kind, procedure.allowedLossKpa),
    },
    missing,
    basis: procedure.basis,
  };
}
