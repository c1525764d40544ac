import type { CommonPractice } from '../evaluation/common-practice.js';
import { ICE_POINT_K } from '../quantities/units.js';
import type { Temperatures } from './hold-test-temperature.js';
import { vapourPressureKpa } from './vacuum-limit.js';

/**
 * How a filled system's pressure moves with its temperature, kPa for each K: 2 to 6, by how little
 * air it holds; the root mean square of that range is taken. Own
 * derivation: 30 L of coolant that expand by 0.045 % for each K press 0.5 to 2.2 L of air at 211
 * kPa absolute together.
 */
const FILLED_KPA_PER_K = 4.2;

/**
 * An engine that stood, or whose temperature was read at both ends: its change is known to 0.6 K,
 * about 1 °F (common practice).
 */
const KNOWN_CHANGE_K = 0.6;

/**
 * What a system under vacuum may change by unseen in some minutes (common practice); a filled one,
 * with all its mass, by `coolantChangeK`.
 */
const UNSEEN_CHANGE_K = 5;

/** Coverage factor of the expanded uncertainty, about 95 % (JCGM 100:2008, 6.3.3). */
export const COVERAGE = 2;

/**
 * Standard uncertainty of the difference between two readings of one gauge by one person: the
 * gauge's step and the reader's eye, each a rectangular distribution
 * over one step, in each of two readings.
 *
 * Source: JCGM 100:2008, F.2.2.1 (resolution) and 4.3.7 (reader: half a step either way, common
 * practice).
 *
 * @param gaugeResolutionKpa kPa, the smallest step that is read
 * @returns kPa
 * @example gaugeUncertaintyKpa(1.693194) // 0.97757: a gauge read to ½ inHg
 */
export function gaugeUncertaintyKpa(gaugeResolutionKpa: number): number {
  const perReading = Math.hypot(gaugeResolutionKpa / Math.sqrt(12), gaugeResolutionKpa / Math.sqrt(12));
  return Math.SQRT2 * perReading;
}

/** What is under test, as far as temperature moves it. */
export interface SystemUnderTest {
  method: 'vacuum' | 'pressure';
  /** kPa absolute in the system at the start. */
  startAbsoluteKpa: number;
  /** Mole fraction of water in the coolant. */
  waterShare: number;
}

/**
 * Standard uncertainty of a loss through what the temperature did unseen: rectangular over ± 0.6 K
 * where the engine was cold or both temperatures were read, else
 * over ± 5 K under vacuum and ± 3 K under pressure; and a known change that is not taken out of the
 * sum, rectangular over what it would make.
 *
 * Source: JCGM 100:2008, 4.3.7 and 5.1.2; sensitivities by the ideal gas law, Raoult's law with
 * IAPWS-IF97, and `FILLED_KPA_PER_K`.
 *
 * @param temperatures of the test
 * @returns kPa
 * @example temperatureUncertaintyKpa({ ...temperatures, cold: true }, { method: 'pressure', startAbsoluteKpa: 211.6, waterShare: 0.7554 }, COMMON_PRACTICE) // 1.4549
 */
export function temperatureUncertaintyKpa(
  temperatures: Temperatures,
  system: SystemUnderTest,
  practice: CommonPractice,
): number {
  const { cold, changeK, mayHoldCoolant, vapour } = temperatures;
  const hottestC = temperatures.hottestC ?? practice.hotCoolantC;
  const unseenK =
    cold || changeK !== null
      ? KNOWN_CHANGE_K
      : system.method === 'vacuum'
        ? UNSEEN_CHANGE_K
        : practice.coolantChangeK;
  const change = Math.abs(changeK ?? 0);
  const air = system.startAbsoluteKpa / (hottestC + ICE_POINT_K);
  if (system.method === 'pressure') {
    const slope = mayHoldCoolant ? FILLED_KPA_PER_K : air;
    return rectangular(Math.hypot(slope * unseenK, slope * change));
  }
  if (!mayHoldCoolant) return rectangular(air * unseenK);
  const moist =
    vapourPressureKpa(hottestC + 0.5, system.waterShare) -
    vapourPressureKpa(hottestC - 0.5, system.waterShare);
  // The sum takes a system not said to be wet as dry, and its vapour as uncertain.
  return rectangular(Math.hypot((air + moist) * unseenK, vapour ? 0 : moist * change));
}

const rectangular = (halfWidth: number): number => halfWidth / Math.sqrt(3);
