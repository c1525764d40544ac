import { atmosphereAt, type Whereabouts } from '../atmosphere/atmosphere.js';
import { cautionsFor } from '../cautions/cautions.js';
import { BOIL_OVER_UNCERTAINTY_K, boilOverC } from '../coolant/boil-over.js';
import type { CoolantBase } from '../coolant/coolant.js';
import { massPercentFromVolume } from '../coolant/strength-conversion.js';
import { COMMON_PRACTICE, type CommonPractice } from '../evaluation/common-practice.js';
import type { Evaluation } from '../evaluation/evaluation.js';
import { conclude, noFindings } from '../evaluation/findings.js';
import { measure, systemOf } from '../quantities/measures.js';
import { requireCoolantTemperature, requireNotNegative } from '../quantities/plausible.js';
import { convert, type Unit } from '../quantities/units.js';
import { plain, say, sayChange, unitInWords } from '../quantities/wording.js';

/** What was seen on a drive after the work. */
export interface RoadTestReading {
  kind: 'road-test';
  /** How long it was driven. */
  minutes?: number | null;
  distanceKm?: number | null;
  highestCoolantTemperatureC?: number | null;
  warningLamp?: boolean | null;
  leakSeen?: boolean | null;
  /** The temperature unit that was typed, for wording. */
  unit?: Unit;
  /** The unit in which the distance was typed, for wording. */
  distanceUnit?: Unit;
}

/** What a road test is judged by; null and absent mean unknown. */
export interface RoadTestSurroundings extends Whereabouts {
  base?: CoolantBase | null;
  /** Volume %. */
  strengthPercent?: number | null;
  capRatingKpa?: number | null;
  /** Where the thermostat begins to open. */
  thermostatOpensC?: number | null;
  /** Where the vehicle warns of overheating. */
  highTemperatureAlarmC?: number | null;
  practice?: CommonPractice;
}

/** What a road test found wrong. */
export type RoadTestFinding = 'leak' | 'lamp' | 'overheated' | 'stuck-open';

/** Temperatures typed in °F come back from °C with a last digit of noise, K. */
const NOISE_K = 1e-9;

/**
 * Judges a road test: no lamp, no leak, and the coolant came to its working temperature and stayed
 * there.
 *
 * With both temperatures on the spec sheet, after 15 minutes or more: below the thermostat's
 * opening less 5 K it is stuck open, from the alarm up the engine ran too hot. Without the alarm
 * it fails from 10 K under boiling, and nothing cooler proves it sound. At the boiling point it
 * fails whatever the alarm.
 *
 * Source: Raoult's law with IAPWS-IF97 for the boiling point, ±1.5 K; 15 minutes, 5 K and 10 K are
 * common practice.
 *
 * @param reading minutes, km and °C
 * @param around volume %, kPa gauge, °C, m or kPa absolute
 * @returns computed: `findings` (see `RoadTestFinding`), `boilsAt` (null when strength or cap
 * rating are unknown),
 *   `boilOverMarginK`, `tooHotFrom`, `stuckOpenBelow` (each null where unknown)
 * @throws ImpossibleValue for a temperature that no cooling system has, naming °F where that was
 *   probably meant.
 * @example evaluateRoadTest({ kind: 'road-test', minutes: 20, highestCoolantTemperatureC: 60, warningLamp: false, leakSeen: false }, { thermostatOpensC: 82, highTemperatureAlarmC: 110 }).verdict // 'fail'
 */
export function evaluateRoadTest(reading: RoadTestReading, around: RoadTestSurroundings = {}): Evaluation {
  const practice = around.practice ?? COMMON_PRACTICE;
  const findings = noFindings();
  const { fails, doubts } = findings;
  const found: RoadTestFinding[] = [];
  const distanceKm =
    reading.distanceKm == null ? null : requireNotNegative('distance', reading.distanceKm, 'km');
  const highestC = reading.highestCoolantTemperatureC ?? null;
  if (highestC !== null) requireCoolantTemperature('highestCoolantTemperature', highestC);
  if (reading.minutes != null) requireNotNegative('minutes', reading.minutes, 'min');
  if (reading.leakSeen === true) {
    found.push('leak');
    fails.push('A leak was seen. Find and repair it.');
  }
  if (reading.warningLamp === true) {
    found.push('lamp');
    fails.push('A warning lamp came on. Find out why before the vehicle goes out.');
  }
  const limits = limitsOf(around, practice, reading.unit);
  const heat = judgeHeat(reading, around, limits, practice);
  if (heat.finding !== null) found.push(heat.finding);
  fails.push(...heat.fails);
  doubts.push(...heat.doubts);
  if (reading.warningLamp == null)
    doubts.push('Whether a warning lamp came on is missing. Drive again and watch for it.');
  if (reading.leakSeen == null)
    doubts.push('Nobody looked for leaks. Look underneath while the engine is warm.');
  if (distanceKm === 0) doubts.push('No distance was driven.');
  const { boilsAtC, tooHotC, stuckOpenC } = limits;
  return {
    ...conclude(findings, `${drivenInWords(reading)}: no lamp, no leak, temperature as it should be.`),
    computed: {
      findings: found,
      boilsAt: temperature(boilsAtC),
      // A difference: as a temperature it would be given an offset when shown in °F.
      boilOverMarginK: boilsAtC === null || highestC === null ? null : boilsAtC - highestC,
      tooHotFrom: temperature(tooHotC),
      stuckOpenBelow: temperature(stuckOpenC),
    },
    cautions: cautionsFor('road-test'),
    basis: [`driven at least ${plain(practice.roadTestMinutes)} minutes (common practice)`, ...limits.basis],
  };
}

const temperature = (valueC: number | null) => (valueC === null ? null : measure('temperature', valueC));

interface HeatLimits {
  boilsAtC: number | null;
  tooHotC: number | null;
  stuckOpenC: number | null;
  basis: string[];
}

function limitsOf(around: RoadTestSurroundings, practice: CommonPractice, unit: Unit = 'C'): HeatLimits {
  const boilsAtC = boilingPointOf(around);
  const alarmC = around.highTemperatureAlarmC ?? null;
  const opensC = around.thermostatOpensC ?? null;
  const { boilingMarginK, stuckOpenMarginK } = practice;
  const boilingC = boilsAtC === null ? null : boilsAtC - BOIL_OVER_UNCERTAINTY_K;
  const basis: string[] = [];
  if (boilsAtC !== null)
    basis.push(
      atmosphereAt(around, systemOf(unit) === 'us' ? 'psi' : 'kPa').basis,
      `boiling point by Raoult's law and IAPWS-IF97, ±${sayChange(BOIL_OVER_UNCERTAINTY_K, unit)}`,
    );
  else basis.push('no boiling point: strength or cap rating is not known');
  if (alarmC !== null) basis.push("too hot from the alarm up (the spec sheet's)");
  else if (boilsAtC !== null)
    basis.push(`too hot from ${sayChange(boilingMarginK, unit)} under boiling (common practice)`);
  if (opensC !== null)
    basis.push(
      `stuck open below where the thermostat opens (the spec sheet's) less ${sayChange(stuckOpenMarginK, unit)} (common practice)`,
    );
  return {
    boilsAtC,
    tooHotC:
      alarmC === null
        ? boilsAtC === null
          ? null
          : boilsAtC - boilingMarginK
        : Math.min(alarmC, boilingC ?? alarmC),
    stuckOpenC: opensC === null ? null : opensC - stuckOpenMarginK,
    basis,
  };
}

interface Heat {
  finding: 'overheated' | 'stuck-open' | null;
  fails: string[];
  doubts: string[];
}

function judgeHeat(
  reading: RoadTestReading,
  around: RoadTestSurroundings,
  limits: HeatLimits,
  practice: CommonPractice,
): Heat {
  const minutes = reading.minutes ?? null;
  const highestC = reading.highestCoolantTemperatureC ?? null;
  const long = `${plain(practice.roadTestMinutes)} minutes or more`;
  if (highestC === null)
    return doubted(`The highest coolant temperature is missing. Drive ${long} and read it.`);
  const { tooHotC, stuckOpenC } = limits;
  if (tooHotC !== null && highestC >= tooHotC - NOISE_K)
    return overheated(
      highestC,
      limits.boilsAtC ?? tooHotC,
      around.highTemperatureAlarmC ?? null,
      reading.unit,
    );
  const isLong = minutes !== null && minutes >= practice.roadTestMinutes;
  if (isLong && stuckOpenC !== null && highestC < stuckOpenC - NOISE_K)
    return stuckOpen(highestC, around.thermostatOpensC ?? stuckOpenC, reading.unit);
  return doubted(
    ...(minutes === null ? [`How long it was driven is missing. Drive ${long}, and give the minutes.`] : []),
    ...(minutes !== null && !isLong
      ? [`${plain(minutes)} minutes are too short to tell. Drive ${long}.`]
      : []),
    ...lackingOnSheet(highestC, around, reading.unit),
  );
}

const doubted = (...doubts: string[]): Heat => ({ finding: null, fails: [], doubts });

function overheated(highestC: number, boilsAtC: number, alarmC: number | null, unit?: Unit): Heat {
  const limit =
    alarmC !== null && highestC >= alarmC - NOISE_K
      ? `the alarm is at ${say(alarmC, 'C', unit, 'down')}`
      : `it boils at about ${wholeDegrees(boilsAtC, unit)}`;
  const fail = `The coolant reached ${say(highestC, 'C', unit)}; ${limit}. Let it cool, then check level, air, fan, thermostat and radiator.`;
  return { finding: 'overheated', fails: [fail], doubts: [] };
}

function stuckOpen(highestC: number, opensC: number, unit?: Unit): Heat {
  const fail = `The coolant only reached ${say(highestC, 'C', unit)}; the thermostat opens at ${say(opensC, 'C', unit)}. It is stuck open: replace it.`;
  return { finding: 'stuck-open', fails: [fail], doubts: [] };
}

/** Without either temperature on the sheet nothing passes. */
function lackingOnSheet(
  highestC: number,
  { thermostatOpensC, highTemperatureAlarmC }: RoadTestSurroundings,
  unit?: Unit,
): string[] {
  const lacking = [
    ...(thermostatOpensC == null ? ["the thermostat's opening temperature"] : []),
    ...(highTemperatureAlarmC == null ? ['the high-temperature alarm'] : []),
  ];
  if (lacking.length === 0) return [];
  return [
    `The coolant reached ${say(highestC, 'C', unit)}, but the spec sheet lacks ${lacking.join(' and ')}. Add ${lacking.length === 1 ? 'it' : 'them'} from the vehicle maker's information.`,
  ];
}

function wholeDegrees(valueC: number, typed: Unit = 'C'): string {
  return `${Math.round(convert(valueC, 'C', typed))} ${unitInWords(typed)}`;
}

function drivenInWords({ minutes, distanceKm, distanceUnit }: RoadTestReading): string {
  const distance = distanceKm == null ? '' : `, ${say(distanceKm, 'km', distanceUnit)}`;
  return `Driven ${plain(minutes ?? 0)} minutes${distance}`;
}

function boilingPointOf(around: RoadTestSurroundings): number | null {
  const strengthPercent = around.strengthPercent ?? null;
  const capRatingKpa = around.capRatingKpa ?? null;
  if (strengthPercent === null || capRatingKpa === null) return null;
  const base = around.base ?? 'ethylene-glycol';
  const massPercent = massPercentFromVolume(base, strengthPercent);
  return massPercent > 90 ? null : boilOverC(base, massPercent, atmosphereAt(around).kpa + capRatingKpa);
}
