import { median, scaledMad } from '../../statistics/median.js';
import { LOSS_DEFAULTS, type LossSettings } from '../facts/settings.js';
import type { LossCohort } from '../facts/types.js';

/**
 * What the vehicles of one spec sheet usually lose: median and 1.4826·MAD of their loss rates, so
 * that a few leaking ones do not set the standard, with floors (common practice).
 *
 * @param lossRates one rate per vehicle, in L per 1,000 km. @returns null with fewer than five
 * vehicles: too few for a spread.
 * @example cohortOf([0.01, 0.02, 0.03, 0.04, 0.9]) // { mu0: 0.03, sigma: 0.02 } (MAD 0.01, and the floor)
 */
export function cohortOf(
  lossRates: readonly number[],
  settings: LossSettings = LOSS_DEFAULTS,
): LossCohort | null {
  if (lossRates.length < 5) return null;
  return {
    mu0: Math.max(settings.floorMu0, median(lossRates)),
    sigma: Math.max(settings.floorSigma, scaledMad(lossRates)),
  };
}

/**
 * Whether the usual loss of a sheet's vehicles differs noticeably from the one that the loss watch
 * uses: median or spread off by more than a quarter of the known spread (common practice). A
 * smaller difference is ignored, because a change makes every vehicle of the sheet be derived
 * again.
 *
 * @param known, found in L per 1,000 km; null where there are too few vehicles.
 * @example isNoticeablyOther({ mu0: 0.03, sigma: 0.02 }, { mu0: 0.034, sigma: 0.02 }) // false
 */
export function isNoticeablyOther(
  known: LossCohort | null,
  found: LossCohort | null,
  settings: LossSettings = LOSS_DEFAULTS,
): boolean {
  if (known === null || found === null) return known !== found;
  const noticeable = settings.cohortChangeShare * known.sigma;
  return Math.abs(found.mu0 - known.mu0) > noticeable || Math.abs(found.sigma - known.sigma) > noticeable;
}
