import { momentsOf } from '../balance/moments.js';
import { contextOf } from '../balance/watch-context.js';
import { LOSS_DEFAULTS, type LossSettings } from '../facts/settings.js';
import type { VehicleFacts } from '../facts/types.js';
import { risingLoss } from '../rules/rising-loss.js';

/**
 * What one vehicle lost on average, for comparison with others of its spec sheet: all that went
 * missing over the blocks of the rising-loss watch, by the distance of those blocks. It takes so
 * much distance that the errors of the first and last level weigh no more than the least spread a
 * cohort may have: √2·u/0.02 L, 10,600 km for a 12 L system (JCGM 100, 5.1.2: a difference of two
 * readings).
 *
 * @param facts volumes in L, distances in km. @returns L per 1,000 km; null when too little is
 * known. Can be negative through reading errors.
 * @throws ImpossibleValue on an instant without offset or a capacity that is not above zero.
 * @example lossRateOf({ …levels 0, 0.1, 0.2, 0.3 L below the mark at 0, 5,000, 10,000, 15,000 km }, LOSS_DEFAULTS, asOf) // 0.02
 */
export function lossRateOf(
  facts: VehicleFacts,
  settings: LossSettings = LOSS_DEFAULTS,
  asOf: string,
): number | null {
  const context = contextOf(facts, settings);
  let state = risingLoss.start;
  let thousandKm = 0;
  let lostL = 0;
  for (const moment of momentsOf(facts, context, asOf)) {
    if (!('fact' in moment)) continue;
    state = risingLoss.step(state, moment, context).state;
    if (state.closed === null) continue;
    thousandKm += state.closed.thousandKm;
    lostL += state.closed.lossPer1000Km * state.closed.thousandKm;
  }
  const leastThousandKm = (Math.SQRT2 * context.levelNoiseL) / settings.floorSigma;
  return thousandKm < leastThousandKm ? null : lostL / thousandKm;
}
