import { cautionsFor } from '../cautions/cautions.js';
import { COMMON_PRACTICE, type CommonPractice } from '../checks/common-practice.js';
import { conclude, noFindings } from '../checks/findings.js';
import {
  requireCoolantTemperature,
  requireFinite,
  requireNotNegative,
  requirePositive,
} from '../checks/plausible.js';
import { plain, say } from '../checks/wording.js';
import { baseInWords, type CoolantBase } from '../coolant/coolant.js';
import type { Evaluation } from '../evaluation.js';
import { measure } from '../quantities/measures.js';
import type { Unit } from '../quantities/units.js';
import { atmosphereAt, type Whereabouts } from './atmosphere.js';
import { holdTestDoubts } from './hold-test-doubts.js';
import {
  decideOnRate,
  expandedUncertaintyKpa,
  leakRate,
  temperatureCorrectedLossKpa,
} from './hold-test-loss.js';
import { holdTestProcedure, type HoldTestLimits } from './hold-test-procedure.js';
import { overPressure } from './over-pressure.js';
import { acceptVacuum, greatestVacuumKpa, vapourPressureKpa, waterShareOf } from './vacuum-limit.js';

/** A vacuum or pressure put on the closed system and read again after a while. Both are gauge readings, both positive. */
export interface HoldTestReading {
  kind: 'hold-test';
  method: 'vacuum' | 'pressure';
  startKpa: number;
  endKpa: number;
  minutes: number;
  /** The pressure unit that was typed, for wording. */
  unit: Unit;
  gaugeResolutionKpa?: number | null;
  coolantTemperatureC?: number | null;
  /** Whether coolant was in the system; a vacuum on a system not said to be wet is taken as dry. */
  wet?: boolean | null;
  startTemperatureC?: number | null;
  endTemperatureC?: number | null;
  /** The temperature unit that was typed, for wording. */
  temperatureUnit?: Unit;
  barometerKpa?: number | null;
}

/** What else a hold test is judged by. */
export interface HoldTestSurroundings extends HoldTestLimits, Whereabouts {
  base?: CoolantBase | null;
  /** Volume %; plain water's vapour pressure is used when unknown. */
  strengthPercent?: number | null;
  /** L of the space under test, for the leak rate. */
  volumeL?: number | null;
  /** Whether a pressure above the limit is refused (it can still be prevented) or recorded (it happened). */
  overPressure?: 'refuse' | 'record';
  practice?: CommonPractice;
}

/**
 * Judges a hold test: the rate of loss against the allowed rate with a guard band, at the air pressure of the place, with the temperature change of
 * a vacuum taken out.
 *
 * Sources: U.S. Standard Atmosphere 1976; IAPWS-IF97 region 4; JCGM 100 and 106; ILAC-G8; allowed losses are common practice unless the spec sheet has them.
 *
 * @param reading gauge pressures in kPa, minutes, °C
 * @param around limits in kPa and minutes, elevation in m, barometer in kPa absolute, volume in L; everything may be unknown
 * @returns computed: `loss`, `temperatureCorrectedLoss` (null without both temperatures), `expandedUncertainty`, `ratePerMinute` in kPa, `leakRatePaM3PerS`,
 * `standardCm3PerMin` (null without a volume), `atmosphere`, `greatestVacuum`, `targetHere` (null without a target)
 * @throws ImpossibleValue for a vacuum that the air there cannot give, a time or resolution that is
 *   not above zero, an impossible temperature, and an over-pressure
 * when that is to be refused.
 * @example evaluateHoldTest({ kind: 'hold-test', method: 'vacuum', startKpa: 74.50, endKpa: 73.48, minutes: 6, unit: 'inHg' }, { elevationM: 1500 }).verdict // 'pass'
 */
export function evaluateHoldTest(reading: HoldTestReading, around: HoldTestSurroundings = {}): Evaluation {
  const practice = around.practice ?? COMMON_PRACTICE;
  const { method, unit, minutes } = reading;
  requireReading(reading);
  const vacuum = method === 'vacuum';
  const procedure = holdTestProcedure(reading, around, practice);
  const atmosphere = atmosphereAt(
    { barometerKpa: reading.barometerKpa ?? around.barometerKpa, elevationM: around.elevationM },
    unit,
  );
  const findings = noFindings();
  const basis = [atmosphere.basis, ...procedure.basis];

  // Without a temperature of its own the coolant's is that of the readings: the worst moment for boiling is the warmest.
  const coolantC =
    reading.coolantTemperatureC ??
    warmest(reading.startTemperatureC ?? null, reading.endTemperatureC ?? null);
  const wet = vacuum && reading.wet === true;
  const waterShare = waterShareOf(around.base ?? null, around.strengthPercent ?? null);
  const vapourKpa = wet && coolantC !== null ? vapourPressureKpa(coolantC, waterShare) : 0;
  if (wet && coolantC !== null) basis.push(vapourBasis(reading, around));

  let atmosphereKpa = atmosphere.kpa;
  if (vacuum) {
    const expectedKpa = procedure.targetHereKpa(atmosphere.kpa);
    for (const [field, kpa] of [
      ['start', reading.startKpa],
      ['end', reading.endKpa],
    ] as const) {
      const accepted = acceptVacuum(field, kpa, atmosphere, vapourKpa, unit, expectedKpa);
      if (accepted.note === null) continue;
      atmosphereKpa = Math.max(atmosphereKpa, accepted.atmosphereKpa);
      if (field === 'start' || findings.remarks.length === 0) findings.remarks.push(accepted.note);
    }
  } else {
    const excess = overPressure(reading, procedure.greatestPressureKpa, around.overPressure ?? 'record');
    if (excess !== null) findings.fails.push(excess);
  }

  const targetHereKpa = procedure.targetHereKpa(atmosphereKpa);
  const lossKpa = reading.startKpa - reading.endKpa;
  const correctedLossKpa = vacuum ? correctedLoss(reading, atmosphereKpa, wet, waterShare) : null;
  const judgedLossKpa = correctedLossKpa ?? lossKpa;
  const uncertaintyKpa = expandedUncertaintyKpa(procedure.gaugeResolutionKpa);
  const { allowedLossKpa, minutes: allowedMinutes } = procedure;
  const decision = decideOnRate(
    { lossKpa: judgedLossKpa, minutes, allowedLossKpa, allowedMinutes, uncertaintyKpa },
    unit,
  );
  const lost = `${say(judgedLossKpa, 'kPa', unit)}${correctedLossKpa === null ? '' : ' (temperature change taken out)'} in ${plain(minutes)} minutes, ±${say(uncertaintyKpa, 'kPa', unit)}; allowed ${say(allowedLossKpa, 'kPa', unit)} in ${plain(allowedMinutes)} minutes`;
  if (decision.verdict === 'fail') findings.fails.push(`Lost ${lost}.`);
  if (decision.verdict === 'inconclusive')
    findings.doubts.push(`Too close to the limit to tell: lost ${lost}. ${decision.settle}`);
  findings.doubts.push(
    ...holdTestDoubts(
      reading,
      {
        lossKpa: judgedLossKpa,
        uncertaintyKpa,
        targetHereKpa,
        allowedMinutes,
        atmosphereKpa,
        vapourKpa,
        place: atmosphere.place,
      },
      practice,
    ),
  );
  if (targetHereKpa === null)
    findings.remarks.push('No target is known for this test, so the start itself was not judged.');

  basis.push(
    'rate of loss against the allowed rate; u = resolution/√12 per reading, k = 2 (JCGM 100), guard band (JCGM 106)',
  );
  if (correctedLossKpa !== null)
    basis.push('temperature correction: ideal gas for the air, vapour pressure for the coolant');
  const cautions = cautionsFor(vacuum ? 'vacuum-test' : 'pressure-test');
  if (decision.coarse) {
    basis.push('simple acceptance (ILAC-G8): the gauge is too coarse for a guard band');
    cautions.push(
      `Coarse gauge: its uncertainty of ${say(uncertaintyKpa, 'kPa', unit)} is as large as the allowed loss of ${say(allowedLossKpa, 'kPa', unit)}.`,
    );
  }
  const volumeL = around.volumeL ?? null;
  const leak =
    volumeL === null ? null : leakRate(requirePositive('volume', volumeL, 'L'), judgedLossKpa, minutes);
  if (leak !== null) basis.push('leak rate Q = V·Δp/Δt, indicative: hoses flex');

  const kind = vacuum ? 'vacuum' : 'pressure';
  const { verdict, reasons } = conclude(findings, `Held: lost ${lost}.`);
  return {
    verdict,
    reasons,
    computed: {
      loss: measure(kind, lossKpa),
      temperatureCorrectedLoss: correctedLossKpa === null ? null : measure(kind, correctedLossKpa),
      expandedUncertainty: measure(kind, uncertaintyKpa),
      ratePerMinute: measure(kind, judgedLossKpa / minutes),
      leakRatePaM3PerS: leak?.paM3PerS ?? null,
      standardCm3PerMin: leak?.standardCm3PerMin ?? null,
      atmosphere: measure('vacuum', atmosphereKpa),
      greatestVacuum: measure('vacuum', greatestVacuumKpa(atmosphereKpa, vapourKpa)),
      targetHere: targetHereKpa === null ? null : measure(kind, targetHereKpa),
    },
    cautions,
    basis,
  };
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

function vapourBasis(reading: HoldTestReading, around: HoldTestSurroundings): string {
  const strengthPercent = around.strengthPercent ?? null;
  const source =
    strengthPercent === null
      ? 'vapour pressure of plain water (the strength is not known)'
      : `vapour pressure by Raoult's law at ${plain(strengthPercent)} volume % ${baseInWords(around.base ?? 'ethylene-glycol')}${around.base == null ? ' (assumed)' : ''}`;
  const coldest = Math.min(
    ...[reading.coolantTemperatureC, reading.startTemperatureC, reading.endTemperatureC].map((c) => c ?? 0),
  );
  return `${source}, IAPWS-IF97 region 4${coldest < 0 ? '; below 0 °C the value at 0 °C, an upper bound' : ''}`;
}

function warmest(startC: number | null, endC: number | null): number | null {
  if (startC === null) return endC;
  return endC === null ? startC : Math.max(startC, endC);
}

function correctedLoss(
  reading: HoldTestReading,
  atmosphereKpa: number,
  wet: boolean,
  waterShare: number,
): number | null {
  const startTemperatureC = reading.startTemperatureC ?? null;
  const endTemperatureC = reading.endTemperatureC ?? null;
  if (startTemperatureC === null || endTemperatureC === null) return null;
  const vapour = (temperatureC: number) => (wet ? vapourPressureKpa(temperatureC, waterShare) : 0);
  return temperatureCorrectedLossKpa({
    startAbsoluteKpa: atmosphereKpa - reading.startKpa,
    endAbsoluteKpa: atmosphereKpa - reading.endKpa,
    startTemperatureC,
    endTemperatureC,
    startVapourKpa: vapour(startTemperatureC),
    endVapourKpa: vapour(endTemperatureC),
  });
}
