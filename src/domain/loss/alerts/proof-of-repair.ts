import { isRepair } from '../balance/circuit-work.js';
import { levelRead } from '../balance/level-read.js';
import type { Moment } from '../balance/moments.js';
import type { WatchContext } from '../balance/watch-context.js';
import { hasRun, spanBetween, type UsagePoint } from '../facts/usage-span.js';
import { ROUNDING } from '../rules/rounding.js';

export interface RepairState {
  lastRepair: UsagePoint | null;
  /** An unplanned top-up since then: a level at the mark afterwards was poured, not held. */
  toppedUpSince: boolean;
}

export const NO_REPAIR: RepairState = { lastRepair: null, toppedUpSince: false };

/** Takes one fact into what is known of repairs. */
export function takeIntoRepairs(state: RepairState, moment: Moment): RepairState {
  const { fact, point } = moment;
  if (fact.kind === 'job' && isRepair(fact)) return { lastRepair: point, toppedUpSince: false };
  if (fact.kind !== 'top-up' || fact.planned || state.lastRepair === null) return state;
  const isLoss = fact.addedL - moment.settlingL > ROUNDING && point.ms > state.lastRepair.ms;
  return isLoss ? { ...state, toppedUpSince: true } : state;
}

/**
 * Whether a fact proves that the last repair held: a pressure test passed at the cap's rating, or a
 * cold level at the mark at least 7 days and 500 km
 * or 10 h after it (common practice). A vacuum test proves nothing, whatever its verdict.
 */
export function provesRepair(state: RepairState, moment: Moment, context: WatchContext): boolean {
  const { fact, point } = moment;
  if (state.lastRepair === null) return false;
  if (fact.kind === 'hold-test')
    return fact.method === 'pressure' && fact.verdict === 'pass' && fact.atCapRating;
  if (fact.kind !== 'level-check' || state.toppedUpSince) return false;
  const { exactL } = levelRead(fact, context.minToMaxL);
  if (exactL === null) return false;
  const { proof } = context.settings;
  const span = spanBetween(state.lastRepair, point);
  return exactL <= context.levelNoiseL + ROUNDING && span.days >= proof.days && hasRun(span, proof);
}
