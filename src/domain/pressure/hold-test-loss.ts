import { STANDARD_SEA_LEVEL_KPA } from '../atmosphere/standard-atmosphere.js';
import type { Message } from '../message.js';
import { told } from '../quantities/told.js';
import { convert, ICE_POINT_K, type Unit } from '../quantities/units.js';
import { gaugeDivision } from './gauge-division.js';
import { message } from './messages.js';
import { COVERAGE } from './hold-test-uncertainty.js';

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
 * Loss of vacuum with the temperature change taken out. Only the air expands by the gas law; vapour
 * follows the coolant's temperature.
 *
 * Source: ideal gas at constant volume with Dalton's law (own derivation); form of a pressure-hold
 * test: ASTM E2930.
 *
 * @returns kPa that came in; negative for a gain
 * @example temperatureCorrectedLossKpa({ startAbsoluteKpa: 20.05167, endAbsoluteKpa: 25.13126, startTemperatureC: 20, endTemperatureC: 23, startVapourKpa: 0, endVapourKpa: 0 }) // 4.825
 */
export function temperatureCorrectedLossKpa(hold: VacuumHold): number {
  const ratio = (hold.startTemperatureC + ICE_POINT_K) / (hold.endTemperatureC + ICE_POINT_K);
  return (hold.endAbsoluteKpa - hold.endVapourKpa) * ratio + hold.startVapourKpa - hold.startAbsoluteKpa;
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

/** How a rate compares with its limit. */
export interface RateDecision {
  verdict: 'pass' | 'fail' | 'inconclusive';
  /** Decided without a guard band. */
  coarse: boolean;
  /** What would settle an inconclusive one. */
  settle: Message | null;
}

/** A loss to be decided on; kPa and minutes. */
export interface JudgedLoss {
  lossKpa: number;
  minutes: number;
  /** Over `allowedMinutes`. */
  allowedLossKpa: number;
  allowedMinutes: number;
  /** Standard uncertainties of the loss. */
  gaugeUncertaintyKpa: number;
  temperatureUncertaintyKpa: number;
}

/**
 * One-sided 95 % of the normal distribution: what a fail needs. A pass needs the whole expanded
 * uncertainty, since a false pass is the worse mistake.
 */
const FAIL_COVERAGE = 1.645;

/**
 * Decides on the rate of loss, not on the loss: a longer hold may lose more and still show a
 * tighter system. Guard bands on both sides (JCGM 106:2012, 8.3): a pass keeps 2 standard
 * uncertainties from the limit, a fail 1.645. Where the gauge is too coarse for any guard band,
 * simple acceptance (ILAC-G8:09/2019).
 *
 * @param method and the unit, in which the remedy is told
 * @example decideOnRate({ lossKpa: 1.016, minutes: 6, allowedLossKpa: 3.386, allowedMinutes: 5, gaugeUncertaintyKpa: 0.9776, temperatureUncertaintyKpa: 0.1 }, 'vacuum', 'inHg').verdict // 'pass'
 */
export function decideOnRate(hold: JudgedLoss, method: 'vacuum' | 'pressure', unit: Unit): RateDecision {
  const { lossKpa, minutes } = hold;
  const allowed = hold.allowedLossKpa / hold.allowedMinutes;
  const rate = lossKpa / minutes;
  const uncertaintyKpa = Math.hypot(hold.gaugeUncertaintyKpa, hold.temperatureUncertaintyKpa);
  // Readings typed in inHg come back from kPa with a last digit of noise: a rate equal to the limit
  // must stay equal.
  const noise = 1e-9 * allowed;
  if (COVERAGE * hold.gaugeUncertaintyKpa >= hold.allowedLossKpa - noise) {
    return { verdict: rate > allowed + noise ? 'fail' : 'pass', coarse: true, settle: null };
  }
  if (rate - (FAIL_COVERAGE * uncertaintyKpa) / minutes > allowed + noise)
    return { verdict: 'fail', coarse: false, settle: null };
  if (rate + (COVERAGE * uncertaintyKpa) / minutes <= allowed + noise)
    return { verdict: 'pass', coarse: false, settle: null };
  return {
    verdict: 'inconclusive',
    coarse: false,
    settle: settlesIt(hold, rate - allowed, noise, { method, unit }),
  };
}

function settlesIt(
  hold: JudgedLoss,
  above: number,
  noise: number,
  { method, unit }: { method: 'vacuum' | 'pressure'; unit: Unit },
): Message {
  if (Math.abs(above) <= noise) return message('hold-test-right-at-limit', { method });
  const coverage = above > 0 ? FAIL_COVERAGE : COVERAGE;
  const uncertaintyKpa = Math.hypot(hold.gaugeUncertaintyKpa, hold.temperatureUncertaintyKpa);
  const minutes = Math.ceil((coverage * uncertaintyKpa) / Math.abs(above) + 1e-9);
  // The gauge's own part of what would be narrow enough: u = resolution / √3 (see
  // `gaugeUncertaintyKpa`).
  const narrowEnough = (Math.abs(above) * hold.minutes) / coverage;
  const rest = narrowEnough ** 2 - hold.temperatureUncertaintyKpa ** 2;
  if (rest <= 0) return message('hold-test-settled-by-longer', { minutes });
  const divisionKpa = convert(gaugeDivision(Math.sqrt(3 * rest), unit), unit, 'kPa');
  return message('hold-test-settled-by-longer-or-finer', {
    method,
    minutes,
    division: told(method, divisionKpa, unit, 'exact'),
  });
}
