import { cautionsFor } from '../cautions/cautions.js';
import { BOIL_OVER_UNCERTAINTY_K, boilOverC } from '../coolant/boil-over.js';
import type { CoolantBase } from '../coolant/coolant.js';
import { massPercentFromVolume } from '../coolant/strength-conversion.js';
import type { Evaluation } from '../evaluation.js';
import { atmosphereAt, type Whereabouts } from '../pressure/atmosphere.js';
import { measure } from '../quantities/measures.js';
import type { Unit } from '../quantities/units.js';
import { conclude, noFindings } from './findings.js';
import { requireCoolantTemperature, requireNotNegative } from './plausible.js';
import { plain, say } from './wording.js';

/** What was seen on a drive after the work. */
export interface RoadTestReading {
  kind: 'road-test';
  distanceKm?: number | null;
  highestCoolantTemperatureC?: number | null;
  warningLamp?: boolean | null;
  leakSeen?: boolean | null;
  /** The temperature unit that was typed, for wording. */
  unit?: Unit;
}

/** What a road test is judged by; null and absent mean unknown. */
export interface RoadTestSurroundings extends Whereabouts {
  base?: CoolantBase | null;
  /** Volume %. */
  strengthPercent?: number | null;
  capRatingKpa?: number | null;
}

/**
 * Judges a road test: no lamp, no leak, and the coolant stayed below its boiling point.
 *
 * Source: Raoult's law with IAPWS-IF97 for the boiling point, ±1.5 K; the rest is common practice.
 *
 * @param reading km and °C
 * @param around volume %, kPa gauge, m or kPa absolute
 * @returns computed: `boilsAt` (null when strength or cap rating are unknown), `boilOverMarginK`
 * @throws ImpossibleValue for a temperature that no cooling system has, naming °F where that was
 *   probably meant.
 * @example evaluateRoadTest({ kind: 'road-test', distanceKm: 12, highestCoolantTemperatureC: 96, warningLamp: false, leakSeen: false }).verdict // 'pass'
 */
export function evaluateRoadTest(reading: RoadTestReading, around: RoadTestSurroundings = {}): Evaluation {
  const findings = noFindings();
  const { fails, doubts } = findings;
  const distanceKm =
    reading.distanceKm == null ? null : requireNotNegative('distance', reading.distanceKm, 'km');
  const highestC = reading.highestCoolantTemperatureC ?? null;
  if (highestC !== null) requireCoolantTemperature('highestCoolantTemperature', highestC);
  if (reading.warningLamp === true) fails.push('A warning lamp came on.');
  if (reading.leakSeen === true) fails.push('A leak was seen: find and repair it.');
  const boilsAtC = boilingPointOf(around);
  if (highestC !== null && boilsAtC !== null) {
    const told = `The coolant reached ${say(highestC, 'C', reading.unit)}; it boils at about ${say(boilsAtC, 'C', reading.unit)}`;
    if (highestC > boilsAtC + BOIL_OVER_UNCERTAINTY_K) fails.push(`${told}.`);
    else if (highestC > boilsAtC - BOIL_OVER_UNCERTAINTY_K)
      doubts.push(`${told}, too close to tell: find out why it runs so hot and drive again.`);
  }
  if (reading.warningLamp == null)
    doubts.push('Whether a warning lamp came on is not told: drive again and watch.');
  if (reading.leakSeen == null)
    doubts.push('Whether it leaked was not looked at: look under it while it is warm.');
  if (distanceKm === 0) doubts.push('No distance was driven.');
  return {
    ...conclude(
      findings,
      `Driven${distanceKm === null ? '' : ` ${plain(distanceKm)} km`} without lamp or leak.`,
    ),
    computed: {
      boilsAt: boilsAtC === null ? null : measure('temperature', boilsAtC),
      // A difference: as a temperature it would be given an offset when shown in °F.
      boilOverMarginK: boilsAtC === null || highestC === null ? null : boilsAtC - highestC,
    },
    cautions: cautionsFor('road-test'),
    basis:
      boilsAtC === null
        ? ['no boiling point: strength or cap rating is not known']
        : [
            atmosphereAt(around).basis,
            `boiling point by Raoult's law and IAPWS-IF97, ±${BOIL_OVER_UNCERTAINTY_K} K`,
          ],
  };
}

function boilingPointOf(around: RoadTestSurroundings): number | null {
  const strengthPercent = around.strengthPercent ?? null;
  const capRatingKpa = around.capRatingKpa ?? null;
  if (strengthPercent === null || capRatingKpa === null) return null;
  const base = around.base ?? 'ethylene-glycol';
  const massPercent = massPercentFromVolume(base, strengthPercent);
  return massPercent > 90 ? null : boilOverC(base, massPercent, atmosphereAt(around).kpa + capRatingKpa);
}
