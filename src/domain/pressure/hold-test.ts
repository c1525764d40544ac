import { cautionsFor } from '../cautions/cautions.js';
import { COMMON_PRACTICE } from '../evaluation/common-practice.js';
import type { Evaluation } from '../evaluation/evaluation.js';
import { conclude, noFindings } from '../evaluation/findings.js';
import { measure } from '../quantities/measures.js';
import {
  requireCoolantTemperature,
  requireFinite,
  requireNotNegative,
  requirePositive,
} from '../quantities/plausible.js';
import { convert } from '../quantities/units.js';
import { plain, say } from '../quantities/wording.js';
import { gaugeDivision, sayAllowedLoss } from './gauge-division.js';
import { holdTestDoubts, leastStart } from './hold-test-doubts.js';
import { decideOnRate, leakRate, type RateDecision } from './hold-test-loss.js';
import type { HoldTestReading, HoldTestSurroundings } from './hold-test-reading.js';
import { type MeasuredHold, measureHold, settingOf, type HoldTestSetting } from './hold-test-setting.js';
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
  // A sum over a change of temperature that is in doubt fails nobody: then the needle itself must
  // have lost too much as well.
  const lossKpa =
    setting.temperatures.doubt === null
      ? hold.lossKpa
      : Math.min(hold.lossKpa, reading.startKpa - reading.endKpa);
  const decision = decideOnRate({ ...hold, lossKpa, minutes: reading.minutes }, reading.unit);
  const cautions = cautionsFor(reading.method === 'vacuum' ? 'vacuum-test' : 'pressure-test');
  const basis = [...setting.basis, ...basisOf(hold, decision)];
  if (decision.coarse) {
    cautions.push(
      `Coarse gauge: its uncertainty of ${say(COVERAGE * hold.gaugeUncertaintyKpa, 'kPa', reading.unit)} is as large as the allowed loss of ${say(hold.allowedLossKpa, 'kPa', reading.unit)}.`,
    );
  }
  const volumeL = around.volumeL ?? null;
  const leak =
    volumeL === null
      ? null
      : leakRate(requirePositive('volume', volumeL, 'L'), hold.lossKpa, reading.minutes);
  if (leak !== null) basis.push('leak rate Q = V·Δp/Δt, indicative: hoses flex');
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
    if (excess !== null) findings.fails.push(excess);
    isOverPressured = excess !== null;
  }

  const lost = lossInWords(reading, procedure.gaugeResolutionKpa, hold);
  if (decision.verdict === 'fail')
    findings.fails.push(
      `${lost.charAt(0).toUpperCase()}${lost.slice(1)} Find the leak, mend it, and repeat.`,
    );
  if (decision.verdict === 'inconclusive' && temperatures.doubt === null)
    findings.doubts.push(`Too close to tell: ${lost} ${decision.settle}`);
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
  if (targetHereKpa === null)
    findings.remarks.push('No target is known for this test, so the start itself was not judged.');
  return { ...conclude(findings, `Held: ${lost}`), isOverPressured };
}

/**
 * @example lossInWords(reading, 1.693, hold) // 'lost 0.3 inHg in 6 minutes; 0.8 inHg in 5 minutes
 * is allowed.'
 */
function lossInWords({ unit, minutes }: HoldTestReading, resolutionKpa: number, hold: MeasuredHold): string {
  const { lossKpa, allowedLossKpa, allowedMinutes, correctedLossKpa } = hold;
  const corrected = correctedLossKpa === null ? '' : ', the temperature change taken out';
  const time = `in ${plain(minutes)} minutes${corrected}`;
  if (lossKpa === 0) return `lost nothing ${time}.`;
  if (lossKpa < 0) return `gained ${say(-lossKpa, 'kPa', unit)} ${time}.`;
  const allowed = `${sayAllowedLoss(allowedLossKpa, resolutionKpa, unit)} in ${plain(allowedMinutes)} minutes is allowed`;
  return `lost ${say(lossKpa, 'kPa', unit)} ${time}; ${allowed}.`;
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

function basisOf(hold: MeasuredHold, decision: RateDecision): string[] {
  const basis = [
    'rate of loss against the allowed rate; u = resolution/√12 and reader/√12 per reading, and what the temperature may have done (JCGM 100); guard band of 2 u for a pass, 1.645 u for a fail (JCGM 106)',
  ];
  if (hold.correctedLossKpa !== null)
    basis.push('temperature correction: ideal gas for the air, vapour pressure for the coolant');
  if (decision.coarse) basis.push('simple acceptance (ILAC-G8): the gauge is too coarse for a guard band');
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
