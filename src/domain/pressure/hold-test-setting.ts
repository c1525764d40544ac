import { atmosphereAt, type Atmosphere } from '../atmosphere/atmosphere.js';
import { baseTerm } from '../coolant/coolant.js';
import type { CommonPractice } from '../evaluation/common-practice.js';
import type { Message } from '../message.js';
import { told, toldPercent } from '../quantities/told.js';
import { toldAllowedLoss } from './gauge-division.js';
import { leastStart } from './hold-test-doubts.js';
import { temperatureCorrectedLossKpa } from './hold-test-loss.js';
import { holdTestProcedure, type HoldTestProcedure } from './hold-test-procedure.js';
import type { HoldTestReading, HoldTestSurroundings } from './hold-test-reading.js';
import { type Temperatures, temperaturesOf } from './hold-test-temperature.js';
import { message } from './messages.js';
import { gaugeUncertaintyKpa, temperatureUncertaintyKpa } from './hold-test-uncertainty.js';
import { acceptVacuum, vapourPressureKpa, waterShareOf } from './vacuum-limit.js';

/** What a hold test is judged by at its place and its temperatures. */
export interface HoldTestSetting {
  practice: CommonPractice;
  procedure: HoldTestProcedure;
  temperatures: Temperatures;
  /** The standard one, or corrected for the weather. */
  atmosphereKpa: number;
  /** kPa absolute of the coolant's vapour at its warmest; 0 where it takes no part. */
  vapourKpa: number;
  waterShare: number;
  targetHereKpa: number | null;
  remarks: Message[];
  basis: Message[];
}

/** A loss with its standard uncertainties; kPa. */
export interface MeasuredHold {
  /** Null without both temperatures, and for a pressure. */
  correctedLossKpa: number | null;
  /** The one that is judged. */
  lossKpa: number;
  gaugeUncertaintyKpa: number;
  temperatureUncertaintyKpa: number;
  /** Both together. */
  uncertaintyKpa: number;
  allowedLossKpa: number;
  allowedMinutes: number;
}

/**
 * What a hold test is judged by: procedure, temperatures, and the air at the place.
 *
 * @param reading gauge pressures in kPa, minutes, °C
 * @param around see `HoldTestSurroundings`
 * @throws ImpossibleValue for a vacuum that the air there cannot give, or a cold engine that was
 * not.
 * @example settingOf(reading, { elevationM: 1500, targetKpa: 77.887, procedureMethod: 'vacuum' }, COMMON_PRACTICE).targetHereKpa // 65.0
 */
export function settingOf(
  reading: HoldTestReading,
  around: HoldTestSurroundings,
  practice: CommonPractice,
): HoldTestSetting {
  const { unit } = reading;
  const temperatures = temperaturesOf(reading, practice);
  const procedure = holdTestProcedure(reading, around, practice);
  const barometerKpa = reading.barometerKpa ?? around.barometerKpa;
  const atmosphere = atmosphereAt({ barometerKpa, elevationM: around.elevationM }, unit);
  const basis = [atmosphere.basis, ...procedure.basis];
  const waterShare = waterShareOf(around.base ?? null, around.strengthPercent ?? null);
  // The worst moment for boiling is the warmest, unless the coolant's own temperature was read.
  const coolantC = reading.coolantTemperatureC ?? temperatures.hottestC;
  const moist = temperatures.vapour && coolantC !== null;
  if (moist) basis.push(vapourBasis(reading, around));
  const vapourKpa = moist ? vapourPressureKpa(coolantC, waterShare) : 0;
  const expectedKpa = procedure.targetHereKpa(atmosphere.kpa);
  const weather = reading.method === 'vacuum' ? weatherOf(reading, atmosphere, vapourKpa, expectedKpa) : null;
  const atmosphereKpa = weather?.atmosphereKpa ?? atmosphere.kpa;
  const targetHereKpa = reachable(procedure, atmosphereKpa, reading, basis);
  if (targetHereKpa !== null) basis.push(onGauge(reading, procedure, targetHereKpa, atmosphereKpa));
  const remarks = weather?.remarks ?? [];
  return {
    ...{ practice, procedure, temperatures, atmosphereKpa, vapourKpa, waterShare },
    ...{ targetHereKpa, remarks, basis },
  };
}

function weatherOf(
  reading: HoldTestReading,
  atmosphere: Atmosphere,
  vapourKpa: number,
  expectedKpa: number | null,
): { atmosphereKpa: number; remarks: Message[] } {
  let atmosphereKpa = atmosphere.kpa;
  const remarks: Message[] = [];
  for (const [field, kpa] of [
    ['start', reading.startKpa],
    ['end', reading.endKpa],
  ] as const) {
    const accepted = acceptVacuum(field, kpa, atmosphere, vapourKpa, reading.unit, expectedKpa);
    if (accepted.note === null) continue;
    atmosphereKpa = Math.max(atmosphereKpa, accepted.atmosphereKpa);
    if (remarks.length === 0) remarks.push(accepted.note);
  }
  return { atmosphereKpa, remarks };
}

function onGauge(
  { method, unit }: HoldTestReading,
  procedure: HoldTestProcedure,
  targetHereKpa: number,
  atmosphereKpa: number,
): Message {
  const { gaugeResolutionKpa, minutes } = procedure;
  const { shownKpa } = leastStart(method, targetHereKpa, gaugeResolutionKpa, unit);
  const allowedLossKpa = procedure.allowedLossHereKpa(atmosphereKpa);
  return message('basis-hold-test-on-gauge', {
    start: told(method, shownKpa, unit),
    loss: toldAllowedLoss(method, allowedLossKpa, gaugeResolutionKpa, unit),
    minutes,
  });
}

// A sheet that asks for more than the system may be tested at must not leave a test with no right
// start.
function reachable(
  procedure: HoldTestProcedure,
  atmosphereKpa: number,
  { method, unit }: HoldTestReading,
  basis: Message[],
): number | null {
  const targetKpa = procedure.targetHereKpa(atmosphereKpa);
  const { greatestPressureKpa } = procedure;
  if (method === 'vacuum' || targetKpa === null || greatestPressureKpa === null) return targetKpa;
  if (targetKpa <= greatestPressureKpa) return targetKpa;
  basis.push(
    message('basis-hold-test-target-above-limit', {
      target: told('pressure', targetKpa, unit),
      limit: told('pressure', greatestPressureKpa, unit, 'down'),
    }),
  );
  return greatestPressureKpa;
}

/**
 * The loss of a hold test, with the temperature change of a vacuum taken out, and how well it is
 * known.
 *
 * @example measureHold(reading, setting).uncertaintyKpa // 0.98: a gauge read to ½ inHg
 */
export function measureHold(reading: HoldTestReading, setting: HoldTestSetting): MeasuredHold {
  const { practice, procedure, temperatures, atmosphereKpa, waterShare } = setting;
  const { method, startKpa, endKpa } = reading;
  const vacuum = method === 'vacuum';
  const correctedLossKpa = vacuum ? correctedLoss(reading, setting) : null;
  const gaugeKpa = gaugeUncertaintyKpa(procedure.gaugeResolutionKpa);
  const startAbsoluteKpa = Math.max(0, vacuum ? atmosphereKpa - startKpa : atmosphereKpa + startKpa);
  const temperatureKpa = temperatureUncertaintyKpa(
    temperatures,
    { method, startAbsoluteKpa, waterShare },
    practice,
  );
  return {
    correctedLossKpa,
    lossKpa: correctedLossKpa ?? startKpa - endKpa,
    gaugeUncertaintyKpa: gaugeKpa,
    temperatureUncertaintyKpa: temperatureKpa,
    uncertaintyKpa: Math.hypot(gaugeKpa, temperatureKpa),
    allowedLossKpa: procedure.allowedLossHereKpa(atmosphereKpa),
    allowedMinutes: procedure.minutes,
  };
}

function correctedLoss(reading: HoldTestReading, setting: HoldTestSetting): number | null {
  const { atmosphereKpa, waterShare, temperatures } = setting;
  const startTemperatureC = reading.startTemperatureC ?? null;
  const endTemperatureC = reading.endTemperatureC ?? null;
  if (startTemperatureC === null || endTemperatureC === null) return null;
  const vapour = (temperatureC: number) =>
    temperatures.vapour ? vapourPressureKpa(temperatureC, waterShare) : 0;
  return temperatureCorrectedLossKpa({
    startAbsoluteKpa: atmosphereKpa - reading.startKpa,
    endAbsoluteKpa: atmosphereKpa - reading.endKpa,
    startTemperatureC,
    endTemperatureC,
    startVapourKpa: vapour(startTemperatureC),
    endVapourKpa: vapour(endTemperatureC),
  });
}

function vapourBasis(reading: HoldTestReading, around: HoldTestSurroundings): Message {
  const strengthPercent = around.strengthPercent ?? null;
  const coldest = Math.min(
    ...[reading.coolantTemperatureC, reading.startTemperatureC, reading.endTemperatureC].map((c) => c ?? 0),
  );
  const below = coldest < 0 ? 'zero' : 'nothing';
  if (strengthPercent === null) return message('basis-vapour-of-water', { below });
  return message('basis-vapour-of-coolant', {
    percent: toldPercent(strengthPercent),
    base: baseTerm(around.base ?? 'ethylene-glycol'),
    assumed: around.base == null ? 'yes' : 'no',
    below,
  });
}
