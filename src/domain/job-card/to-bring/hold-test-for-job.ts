import type { Atmosphere } from '../../atmosphere/atmosphere.js';
import type { CommonPractice } from '../../evaluation/common-practice.js';
import { downToDivisionKpa, toldAllowedLoss } from '../../pressure/gauge-division.js';
import { holdTestProcedure, type HoldTestLimits } from '../../pressure/hold-test-procedure.js';
import { overPressure } from '../../pressure/over-pressure.js';
import { greatestVacuumKpa } from '../../pressure/vacuum-limit.js';
import type { Message } from '../../message.js';
import { measure, type Measure, MEASURES, type UnitSystem } from '../../quantities/measures.js';
import { told, type Told } from '../../quantities/told.js';
import { message } from '../messages.js';

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
 * @param units the reader's, in which the gauge is read
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
): { test: HoldTestForJob; missing: Message[]; basis: Message[] } {
  const kind = method;
  const unit = MEASURES[kind][units];
  const missing: Message[] = [];
  // The card prescribes no gauge, so that its resolution is not part of the basis.
  const procedure = holdTestProcedure({ method, unit, gaugeResolutionKpa: 1 }, limits, practice);
  let targetKpa = procedure.targetHereKpa(atmosphere.kpa);
  if (targetKpa === null) {
    missing.push(message(method === 'vacuum' ? 'card-no-vacuum-target' : 'card-no-pressure-target'));
  }
  if (method === 'pressure' && targetKpa !== null) {
    const tooHigh = overPressure(
      { startKpa: targetKpa, endKpa: targetKpa, unit },
      procedure.greatestPressureKpa,
      'record',
    );
    if (tooHigh.length > 0) {
      const limit = told(kind, procedure.greatestPressureKpa ?? 0, unit);
      missing.push(message('card-target-too-high', { target: told(kind, targetKpa, unit), limit }));
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

/** A hold test in what a gauge shows. */
export interface HoldTestOnGauge {
  method: 'vacuum' | 'pressure';
  /** Null where it is not known. */
  target: Told | null;
  minutes: number;
  loss: Told;
}

/**
 * The hold test as a mechanic reads it off a gauge: the target rounded down to the gauge's
 * division.
 *
 * @param units the reader's, in which the gauge is read
 * @param practice for the gauge's division
 * @example holdTestOnGauge(test, 'us', COMMON_PRACTICE) // in words: target 19 inHg, loss 0.8 inHg
 */
export function holdTestOnGauge(
  { method, target, minutes, allowedLoss }: HoldTestForJob,
  units: UnitSystem,
  practice: CommonPractice,
): HoldTestOnGauge {
  const isVacuum = method === 'vacuum';
  const unit = MEASURES[method][units];
  const resolutionKpa = isVacuum ? practice.vacuumGaugeResolutionKpa : practice.pressureGaugeResolutionKpa;
  const shown = (kpa: number): number => (isVacuum ? downToDivisionKpa(kpa, resolutionKpa, unit) : kpa);
  return {
    method,
    target: target === null ? null : told(method, shown(target.value), unit, 'down'),
    minutes,
    loss: toldAllowedLoss(method, allowedLoss.value, resolutionKpa, unit),
  };
}
