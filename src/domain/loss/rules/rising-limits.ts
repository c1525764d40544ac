import { cusumLimit } from '../../statistics/cusum.js';
import { normalQuantile } from '../../statistics/normal.js';
import type { LossSettings } from '../facts/settings.js';

/**
 * What is shown at most by chance: the sum, and one departure by itself, both in standard
 * deviations.
 */
export interface RisingLimits {
  cusum: number;
  departure: number;
}

/**
 * Limits for a block of a given length. The sum and the single departure may each be wrong once in
 * a given distance, however far apart the checks are. A vehicle that is checked seldom is judged
 * fewer times, so its limits are lower.
 *
 * Source: Siegmund's run length for the sum (`cusumLimit`), the normal distribution for one
 * departure.
 *
 * @param thousandKm length of the block. @example limitsFor(1.5, LOSS_DEFAULTS) // { cusum: 2.67,
 * departure: 3.52 }
 */
export function limitsFor(thousandKm: number, settings: LossSettings): RisingLimits {
  const share = Math.min(0.5, (1000 * thousandKm) / settings.falseAlarmKm);
  return { cusum: cusumLimit(settings.cusumSlack, 1 / share), departure: normalQuantile(1 - share) };
}
