import { say } from '../checks/wording.js';
import type { Unit } from '../quantities/units.js';
import { STANDARD_SEA_LEVEL_KPA } from './standard-atmosphere.js';

const ICE_POINT_K = 273.15;

/** Pressures and temperatures at both ends of a vacuum hold; all absolute. */
export interface VacuumHold {
  startAbsoluteKpa: number;
  endAbsoluteKpa: number;
  startTemperatureC: number;
  endTemperatureC: number;
  /** kPa absolute of the coolant's vapour at each end; 0 for a dry system. */
  startVapourKpa: number;
  endVapourKpa: number;
}

/**
 * Loss of vacuum with the temperature change taken out. Only the air expands by the gas law; vapour follows the coolant's temperature.
 *
 * Source: ideal gas at constant volume with Dalton's law (own derivation); form of a pressure-hold test: ASTM E2930.
 *
 * @returns kPa that came in; negative for a gain
 * @example temperatureCorrectedLossKpa({ startAbsoluteKpa: 20.05167, endAbsoluteKpa: 25.13126, startTemperatureC: 20, endTemperatureC: 23, startVapourKpa: 0, endVapourKpa: 0 }) // 4.825
 */
export function temperatureCorrectedLossKpa(hold: VacuumHold): number {
  const ratio = (hold.startTemperatureC + ICE_POINT_K) / (hold.endTemperatureC + ICE_POINT_K);
  return (hold.endAbsoluteKpa - hold.endVapourKpa) * ratio + hold.startVapourKpa - hold.startAbsoluteKpa;
}

/**
 * Expanded uncertainty (k = 2) of the difference between two readings of one gauge.
 *
 * Source: JCGM 100:2008, rectangular distribution over one resolution step: u = resolution/√12 each, U = 2·√2·u.
 *
 * @param gaugeResolutionKpa kPa, the smallest step that is read
 * @returns kPa
 * @example expandedUncertaintyKpa(1.693194) // 1.3825: a gauge read to ½ inHg
 */
export function expandedUncertaintyKpa(gaugeResolutionKpa: number): number {
  return 2 * Math.SQRT2 * (gaugeResolutionKpa / Math.sqrt(12));
}

/**
 * Leak rate behind a pressure change, Q = V·Δp/Δt. Indicative only: hoses flex.
 *
 * @param volumeL L of the space under test
 * @param lossKpa kPa
 * @param minutes min
 * @returns Pa·m³/s, and the same as cm³/min of air at 101.325 kPa
 * @example leakRate(10, 5.079583, 5) // { paM3PerS: 0.1693194, standardCm3PerMin: 100.2632 }
 */
export function leakRate(
  volumeL: number,
  lossKpa: number,
  minutes: number,
): { paM3PerS: number; standardCm3PerMin: number } {
  const paM3PerS = (volumeL * lossKpa) / (minutes * 60);
  return { paM3PerS, standardCm3PerMin: (paM3PerS * 60 * 1000) / STANDARD_SEA_LEVEL_KPA };
}

/** How a rate stands to its limit. */
export interface RateDecision {
  verdict: 'pass' | 'fail' | 'inconclusive';
  coarse: boolean;
  /** What would settle an inconclusive one. */
  settle: string | null;
}

/**
 * Decides on the rate of loss, not on the loss: a longer hold may lose more and still show a tighter system. A guard band of the expanded uncertainty on both
 * sides (JCGM 106:2012); where the gauge is too coarse for any guard band, simple acceptance (ILAC-G8:09/2019).
 *
 * @param lossKpa kPa lost over `minutes`
 * @param allowedLossKpa kPa allowed over `allowedMinutes`
 * @param uncertaintyKpa kPa, expanded, of the loss
 * @param unit the unit in which the remedy is worded
 * @example decideOnRate({ lossKpa: 1.016, minutes: 6, allowedLossKpa: 3.386, allowedMinutes: 5, uncertaintyKpa: 1.3825 }, 'inHg').verdict // 'pass'
 */
export function decideOnRate(
  hold: {
    lossKpa: number;
    minutes: number;
    allowedLossKpa: number;
    allowedMinutes: number;
    uncertaintyKpa: number;
  },
  unit: Unit,
): RateDecision {
  const allowed = hold.allowedLossKpa / hold.allowedMinutes;
  const rate = hold.lossKpa / hold.minutes;
  const guard = hold.uncertaintyKpa / hold.minutes;
  // Readings typed in inHg come back from kPa with a last digit of noise: a rate equal to the limit must stay equal.
  const noise = 1e-9 * allowed;
  if (hold.uncertaintyKpa >= hold.allowedLossKpa - noise) {
    return { verdict: rate > allowed + noise ? 'fail' : 'pass', coarse: true, settle: null };
  }
  if (rate - guard > allowed + noise) return { verdict: 'fail', coarse: false, settle: null };
  if (rate + guard <= allowed + noise) return { verdict: 'pass', coarse: false, settle: null };
  const gap = Math.abs(allowed - rate);
  if (gap <= noise) {
    return {
      verdict: 'inconclusive',
      coarse: false,
      settle: 'The rate is right at the limit: a finer gauge and a longer hold.',
    };
  }
  const minutes = Math.ceil(hold.uncertaintyKpa / gap - 1e-9);
  const resolutionKpa = (gap * hold.minutes * Math.sqrt(12)) / (2 * Math.SQRT2);
  return {
    verdict: 'inconclusive',
    coarse: false,
    settle: `Holding ${minutes} minutes at this rate would settle it, or a gauge read to ${say(resolutionKpa, 'kPa', unit)}.`,
  };
}
