import { atmosphereAt, type Whereabouts } from '../atmosphere/atmosphere.js';
import { cautionsFor } from '../cautions/cautions.js';
import { BOIL_OVER_UNCERTAINTY_K, boilOverC } from '../coolant/boil-over.js';
import type { CoolantBase } from '../coolant/coolant.js';
import { massPercentFromVolume } from '../coolant/strength-conversion.js';
import { COMMON_PRACTICE, type CommonPractice } from '../evaluation/common-practice.js';
import type { Evaluation } from '../evaluation/evaluation.js';
import { conclude, noFindings } from '../evaluation/findings.js';
import type { Message } from '../message.js';
import { measure, systemOf } from '../quantities/measures.js';
import { requireCoolantTemperature, requireNotNegative } from '../quantities/plausible.js';
import { told, toldChange } from '../quantities/told.js';
import type { Unit } from '../quantities/units.js';
import { message } from './messages.js';

/** What was seen on a drive after the work. */
export interface RoadTestReading {
  kind: 'road-test';
  /** How long it was driven. */
  minutes?: number | null;
  distanceKm?: number | null;
  highestCoolantTemperatureC?: number | null;
  warningLamp?: boolean | null;
  leakSeen?: boolean | null;
  /** The temperature unit that was typed. */
  unit?: Unit;
  /** The unit in which the distance was typed. */
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
  if (reading.minutes != null) requireNotNegative('minutes', reading.minutes, 'minutes');
  if (reading.leakSeen === true) {
    found.push('leak');
    fails.push(message('road-test-leak'));
  }
  if (reading.warningLamp === true) {
    found.push('lamp');
    fails.push(message('road-test-lamp'));
  }
  const limits = limitsOf(around, practice, reading.unit);
  const heat = judgeHeat(reading, around, limits, practice);
  if (heat.finding !== null) found.push(heat.finding);
  fails.push(...heat.fails);
  doubts.push(...heat.doubts);
  if (reading.warningLamp == null) doubts.push(message('road-test-lamp-not-said'));
  if (reading.leakSeen == null) doubts.push(message('road-test-leak-not-looked-for'));
  if (distanceKm === 0) doubts.push(message('road-test-not-driven'));
  const { boilsAtC, tooHotC, stuckOpenC } = limits;
  return {
    ...conclude(findings, passed(reading)),
    computed: {
      findings: found,
      boilsAt: temperature(boilsAtC),
      // A difference: as a temperature it would be given an offset when shown in °F.
      boilOverMarginK: boilsAtC === null || highestC === null ? null : boilsAtC - highestC,
      tooHotFrom: temperature(tooHotC),
      stuckOpenBelow: temperature(stuckOpenC),
    },
    cautions: cautionsFor('road-test'),
    basis: [message('basis-road-test-minutes', { minutes: practice.roadTestMinutes }), ...limits.basis],
  };
}

const temperature = (valueC: number | null) => (valueC === null ? null : measure('temperature', valueC));

interface HeatLimits {
  boilsAtC: number | null;
  tooHotC: number | null;
  stuckOpenC: number | null;
  basis: Message[];
}

function limitsOf(around: RoadTestSurroundings, practice: CommonPractice, unit: Unit = 'C'): HeatLimits {
  const boilsAtC = boilingPointOf(around);
  const alarmC = around.highTemperatureAlarmC ?? null;
  const opensC = around.thermostatOpensC ?? null;
  const { boilingMarginK, stuckOpenMarginK } = practice;
  const boilingC = boilsAtC === null ? null : boilsAtC - BOIL_OVER_UNCERTAINTY_K;
  const basis: Message[] = [];
  if (boilsAtC !== null)
    basis.push(
      atmosphereAt(around, systemOf(unit) === 'us' ? 'psi' : 'kPa').basis,
      message('basis-road-test-boiling-point', { uncertainty: toldChange(BOIL_OVER_UNCERTAINTY_K, unit) }),
    );
  else basis.push(message('basis-road-test-no-boiling-point'));
  if (alarmC !== null) basis.push(message('basis-road-test-alarm'));
  else if (boilsAtC !== null)
    basis.push(message('basis-road-test-boiling-margin', { margin: toldChange(boilingMarginK, unit) }));
  if (opensC !== null)
    basis.push(message('basis-road-test-stuck-open', { margin: toldChange(stuckOpenMarginK, unit) }));
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
  fails: Message[];
  doubts: Message[];
}

function judgeHeat(
  reading: RoadTestReading,
  around: RoadTestSurroundings,
  limits: HeatLimits,
  practice: CommonPractice,
): Heat {
  const minutes = reading.minutes ?? null;
  const highestC = reading.highestCoolantTemperatureC ?? null;
  const needed = practice.roadTestMinutes;
  if (highestC === null) return doubted(message('road-test-temperature-missing', { needed }));
  const { tooHotC, stuckOpenC } = limits;
  if (tooHotC !== null && highestC >= tooHotC - NOISE_K)
    return overheated(
      highestC,
      limits.boilsAtC ?? tooHotC,
      around.highTemperatureAlarmC ?? null,
      reading.unit,
    );
  const isLong = minutes !== null && minutes >= needed;
  if (isLong && stuckOpenC !== null && highestC < stuckOpenC - NOISE_K)
    return stuckOpen(highestC, around.thermostatOpensC ?? stuckOpenC, reading.unit);
  return doubted(
    ...(minutes === null ? [message('road-test-minutes-missing', { needed })] : []),
    ...(minutes !== null && !isLong ? [message('road-test-too-short', { minutes, needed })] : []),
    ...lackingOnSheet(highestC, around, reading.unit),
  );
}

const doubted = (...doubts: Message[]): Heat => ({ finding: null, fails: [], doubts });

function overheated(highestC: number, boilsAtC: number, alarmC: number | null, unit: Unit = 'C'): Heat {
  const reached = told('temperature', highestC, unit);
  const fail =
    alarmC !== null && highestC >= alarmC - NOISE_K
      ? message('road-test-hot-by-alarm', { reached, alarm: told('temperature', alarmC, unit, 'down') })
      : message('road-test-hot-by-boiling', {
          reached,
          boils: told('temperature', boilsAtC, unit),
        });
  return { finding: 'overheated', fails: [fail], doubts: [] };
}

function stuckOpen(highestC: number, opensC: number, unit: Unit = 'C'): Heat {
  const fail = message('road-test-thermostat-stuck-open', {
    reached: told('temperature', highestC, unit),
    opens: told('temperature', opensC, unit),
  });
  return { finding: 'stuck-open', fails: [fail], doubts: [] };
}

/** Without either temperature on the sheet nothing passes. */
function lackingOnSheet(
  highestC: number,
  { thermostatOpensC, highTemperatureAlarmC }: RoadTestSurroundings,
  unit: Unit = 'C',
): Message[] {
  if (thermostatOpensC != null && highTemperatureAlarmC != null) return [];
  const lacking = thermostatOpensC != null ? 'alarm' : highTemperatureAlarmC != null ? 'opening' : 'both';
  return [message('road-test-sheet-lacks', { reached: told('temperature', highestC, unit), lacking })];
}

function passed({ minutes, distanceKm, distanceUnit }: RoadTestReading): Message {
  return message('road-test-passed', {
    minutes: minutes ?? 0,
    isDistanceKnown: distanceKm == null ? 'no' : 'yes',
    distance: told('distance', distanceKm ?? 0, distanceUnit ?? 'km'),
  });
}

function boilingPointOf(around: RoadTestSurroundings): number | null {
  const strengthPercent = around.strengthPercent ?? null;
  const capRatingKpa = around.capRatingKpa ?? null;
  if (strengthPercent === null || capRatingKpa === null) return null;
  const base = around.base ?? 'ethylene-glycol';
  const massPercent = massPercentFromVolume(base, strengthPercent);
  return massPercent > 90 ? null : boilOverC(base, massPercent, atmosphereAt(around).kpa + capRatingKpa);
}
