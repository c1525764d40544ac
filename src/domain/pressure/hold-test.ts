import { cautionsFor } from '../cautions/cautions.js';
import { COMMON_PRACTICE } from '../evaluation/common-practice.js';
import type { Evaluation } from '../evaluation/evaluation.js';
import { conclude, noFindings } from '../evaluation/findings.js';
import type { Message } from '../message.js';
import { measure } from '../quantities/measures.js';
import {
  requireCoolantTemperature,
  requireFinite,
  requireNotNegative,
  requirePositive,
} from '../quantities/plausible.js';
import { convert } from '../quantities/units.js';
import { told } from '../quantities/told.js';
import { gaugeDivision, toldAllowedLoss } from './gauge-division.js';
import { holdTestDoubts, leastStart } from './hold-test-doubts.js';
import { decideOnRate, leakRate, type RateDecision } from './hold-test-loss.js';
import type { HoldTestReading, HoldTestSurroundings } from './hold-test-reading.js';
import { type MeasuredHold, measureHold, settingOf, type HoldTestSetting } from './hold-test-setting.js';
import { message } from './messages.js';
import { COVERAGE } from './hold-test-uncertainty.js';
import { overPressure } from './over-pressure.js';
import { greatestVacuumKpa } from './vacuum-limit.js';

export type { HoldTestReading, HoldTestSurroundings } from './hold-test-reading.js';

/**
 * Judges a hold test: the rate of loss against the allowed rate with a guard band, at the air
 * pressure of the place, with the temperature change of a vacuum taken out. No pass without knowing
 * that the temperature did not hide a leak.
 *
 * Sources: U.S. Standard Atmosphere 1976; IAPWS-IF97 region 4; JCGM 100 and 106; ILAC-G8; allowed
 * losses are common practice unless the spec sheet has them. How often it is wrong is in
 * docs/domain.md, by simulation.
 *
 * @param reading gauge pressures in kPa, minutes, °C
 * @param around limits in kPa and minutes, elevation in m, barometer in kPa absolute, volume in L;
 * everything may be unknown
 * @returns computed: `loss`, `temperatureCorrectedLoss` (null without both temperatures),
 * `expandedUncertainty`, `ratePerMinute`, `allowedLossHere` in kPa,
 * `leakRatePaM3PerS`, `standardCm3PerMin` (null without a volume), `atmosphere`, `greatestVacuum`,
 * `targetHere` and `targetOnGauge` (null without a target), and
 * `temperatureInDoubt`, whether the temperatures alone allow no pass; `overPressured` and
 * `lostTooMuch`, why it failed
 * @throws ImpossibleValue for a vacuum that the air there cannot give, a time or resolution that is
 *   not above zero, an impossible temperature, a cold engine that was not, and an over-pressure
 * when that is to be refused.
 * @example evaluateHoldTest({ kind: 'hold-test', method: 'vacuum', startKpa: 74.50, endKpa: 73.48, minutes: 6, unit: 'inHg', engineCold: true }, { elevationM: 1500 }).verdict // 'pass'
 */
export function evaluateHoldTest(reading: HoldTestReading, around: HoldTestSurroundings = {}): Evaluation {
  requireReading(reading);
  const setting = settingOf(reading, around, around.practice ?? COMMON_PRACTICE);
  const hold = measureHold(reading, setting);
  // If the temperature change is in doubt, the corrected loss alone does not fail the test: the
  // gauge itself must show too much loss as well.
  const lossKpa =
    setting.temperatures.doubt === null
      ? hold.lossKpa
      : Math.min(hold.lossKpa, reading.startKpa - reading.endKpa);
  const decision = decideOnRate({ ...hold, lossKpa, minutes: reading.minutes }, reading.method, reading.unit);
  const cautions = cautionsFor(`${reading.method}-test`);
  const basis = [...setting.basis, ...basisOf(hold, decision)];
  if (decision.coarse) {
    const { method, unit } = reading;
    cautions.push(
      message('hold-test-coarse-gauge', {
        method,
        uncertainty: told(method, COVERAGE * hold.gaugeUncertaintyKpa, unit),
        allowed: told(method, hold.allowedLossKpa, unit),
      }),
    );
  }
  const volumeL = around.volumeL ?? null;
  const leak =
    volumeL === null
      ? null
      : leakRate(requirePositive('volume', volumeL, 'L'), hold.lossKpa, reading.minutes);
  if (leak !== null) basis.push(message('basis-leak-rate'));
  const { isOverPressured, ...concluded } = concludedOn(reading, around, setting, hold, decision);
  return {
    ...concluded,
    computed: {
      ...computedOf(reading, setting, hold),
      overPressured: isOverPressured,
      lostTooMuch: decision.verdict === 'fail',
      leakRatePaM3PerS: leak?.paM3PerS ?? null,
      standardCm3PerMin: leak?.standardCm3PerMin ?? null,
    },
    cautions,
    basis,
  };
}

function concludedOn(
  reading: HoldTestReading,
  around: HoldTestSurroundings,
  setting: HoldTestSetting,
  hold: MeasuredHold,
  decision: RateDecision,
): Pick<Evaluation, 'verdict' | 'reasons'> & { isOverPressured: boolean } {
  const { method, unit } = reading;
  const { procedure, temperatures, targetHereKpa, atmosphereKpa, vapourKpa } = setting;
  const findings = noFindings();
  findings.remarks.push(...setting.remarks);
  let isOverPressured = false;
  if (method === 'pressure') {
    const halfDivisionKpa = convert(gaugeDivision(procedure.gaugeResolutionKpa, unit) / 2, unit, 'kPa');
    const handling = around.overPressure ?? 'record';
    const excess = overPressure(reading, procedure.greatestPressureKpa, handling, halfDivisionKpa);
    findings.fails.push(...excess);
    isOverPressured = excess.length > 0;
  }

  const loss = lossTold(reading, procedure.gaugeResolutionKpa, hold);
  if (decision.verdict === 'fail') findings.fails.push(message('hold-test-lost-too-much', loss));
  if (decision.verdict === 'inconclusive' && temperatures.doubt === null)
    findings.doubts.push(message('hold-test-too-close', loss), ...settledBy(decision));
  findings.doubts.push(
    ...holdTestDoubts(reading, {
      lossKpa: hold.lossKpa,
      allowedLossKpa: hold.allowedLossKpa,
      uncertaintyKpa: COVERAGE * hold.uncertaintyKpa,
      gaugeResolutionKpa: procedure.gaugeResolutionKpa,
      targetHereKpa,
      allowedMinutes: hold.allowedMinutes,
      atmosphereKpa,
      vapourKpa,
      temperatureDoubt: temperatures.doubt,
    }),
  );
  if (targetHereKpa === null) findings.remarks.push(message('hold-test-no-target', { method }));
  return { ...conclude(findings, message('hold-test-held', loss)), isOverPressured };
}

const settledBy = ({ settle }: RateDecision): Message[] => (settle === null ? [] : [settle]);

/** The loss or gain, with the allowed loss. */
function lossTold({ method, unit, minutes }: HoldTestReading, resolutionKpa: number, hold: MeasuredHold) {
  const { lossKpa, allowedLossKpa, allowedMinutes, correctedLossKpa } = hold;
  const outcome = lossKpa === 0 ? 'nothing-lost' : lossKpa < 0 ? 'gained' : 'lost';
  return {
    outcome,
    amount: told(method, Math.abs(lossKpa), unit),
    minutes,
    corrected: correctedLossKpa === null ? 'no' : 'yes',
    allowed: toldAllowedLoss(method, allowedLossKpa, resolutionKpa, unit),
    allowedMinutes,
  } as const;
}

function computedOf(
  { method, minutes, unit, startKpa, endKpa }: HoldTestReading,
  { procedure, temperatures, targetHereKpa, atmosphereKpa, vapourKpa }: HoldTestSetting,
  hold: MeasuredHold,
): Evaluation['computed'] {
  const optional = (kpa: number | null) => (kpa === null ? null : measure(method, kpa));
  return {
    loss: measure(method, startKpa - endKpa),
    temperatureCorrectedLoss: optional(hold.correctedLossKpa),
    expandedUncertainty: measure(method, COVERAGE * hold.uncertaintyKpa),
    ratePerMinute: measure(method, hold.lossKpa / minutes),
    allowedLossHere: measure(method, hold.allowedLossKpa),
    atmosphere: measure('vacuum', atmosphereKpa),
    greatestVacuum: measure('vacuum', greatestVacuumKpa(atmosphereKpa, vapourKpa)),
    targetHere: optional(targetHereKpa),
    targetOnGauge: optional(
      targetHereKpa === null
        ? null
        : leastStart(method, targetHereKpa, procedure.gaugeResolutionKpa, unit).shownKpa,
    ),
    temperatureInDoubt: temperatures.doubt !== null,
  };
}

function basisOf(hold: MeasuredHold, decision: RateDecision): Message[] {
  const basis = [message('basis-hold-test-rate')];
  if (hold.correctedLossKpa !== null) basis.push(message('basis-hold-test-temperature-correction'));
  if (decision.coarse) basis.push(message('basis-hold-test-simple-acceptance'));
  return basis;
}

function requireReading(reading: HoldTestReading): void {
  const words = 'kPa';
  requirePositive('minutes', reading.minutes, 'minutes');
  if (reading.gaugeResolutionKpa != null)
    requirePositive('gaugeResolution', reading.gaugeResolutionKpa, words);
  for (const field of ['coolantTemperature', 'startTemperature', 'endTemperature'] as const) {
    const valueC = reading[`${field}C`] ?? null;
    if (valueC !== null) requireCoolantTemperature(field, valueC);
  }
  if (reading.method === 'pressure') {
    requireNotNegative('start', reading.startKpa, words);
    requireNotNegative('end', reading.endKpa, words);
  } else {
    requireFinite('start', reading.startKpa);
    requireFinite('end', reading.endKpa);
  }
}
