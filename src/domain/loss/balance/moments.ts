import { inTimeOrder } from '../facts/time-order.js';
import type { AlertActionFact, CoolantFact, VehicleFacts } from '../facts/types.js';
import { instantMs, type UsagePoint } from '../facts/usage-span.js';
import { EMPTY_BALANCE, takeIntoBalance, type CoolantBalance, type LaidUpSpan } from './coolant-balance.js';
import type { KnownLevel } from './known-level.js';
import type { WatchContext } from './watch-context.js';

/** One fact as the rules see it: placed in time, with its effect on the coolant balance. */
export interface Moment {
  fact: CoolantFact;
  point: UsagePoint;
  /** The level known after this fact, if it makes one known. */
  level: KnownLevel | null;
  /**
   * What may have been lost at least since the last known level, in L; null where none is known.
   */
  lostAtLeastL: number | null;
  /** Where that level was read. */
  lostSince: UsagePoint | null;
  /** How much of a top-up is settling after a fill, in L. */
  settlingL: number;
}

/**
 * Each coolant fact up to an instant with its effect on the coolant balance, in time order, with
 * actions on alerts between them.
 */
export function momentsOf(
  facts: VehicleFacts,
  context: WatchContext,
  asOf: string,
): (Moment | AlertActionFact)[] {
  const laidUp: LaidUpSpan[] = (facts.laidUp ?? []).map((span) => ({
    fromMs: instantMs(span.fromAt),
    toMs: span.toAt === null ? Infinity : instantMs(span.toAt),
  }));
  let balance: CoolantBalance = EMPTY_BALANCE;
  return inTimeOrder(facts.events, asOf).map(({ fact, ms }) => {
    if (fact.kind === 'alert-action') return fact;
    const point: UsagePoint = { ms, odometerKm: fact.odometerKm, engineHours: fact.engineHours };
    const { balance: after, ...taken } = takeIntoBalance(balance, fact, point, laidUp, context);
    balance = after;
    return { fact, point, ...taken };
  });
}
