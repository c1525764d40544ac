import type { CoolantBase } from '../coolant/coolant.js';
import { readStrength } from './freeze-point-value.js';

/**
 * How well a strength is known that was read as a freeze point: half of what the table spans
 * between the reading's limits.
 *
 * The curve is flatter the stronger the mixture, so that the same degree is worth fewer percent at
 * 50 % than at 20 %.
 *
 * @param freezePointC °C
 * @param uncertaintyC expanded uncertainty (k = 2) of the freeze point, °C
 * @returns expanded uncertainty (k = 2) in volume %; null where a limit lies beyond what the table
 * reads
 * @example strengthUncertaintyPercent('ethylene-glycol', -37, 1) // 0.69
 */
export function strengthUncertaintyPercent(
  base: CoolantBase,
  freezePointC: number,
  uncertaintyC: number,
): number | null {
  const stronger = readStrength(base, 'refractometer', freezePointC - uncertaintyC);
  const weaker = readStrength(base, 'refractometer', Math.min(0, freezePointC + uncertaintyC));
  if (stronger.beyondTable || weaker.beyondTable || !stronger.mixture || !weaker.mixture) return null;
  return (stronger.mixture.volumePercent - weaker.mixture.volumePercent) / 2;
}
