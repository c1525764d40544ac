import type { LossFact } from './types.js';
import { instantMs } from './usage-span.js';

/**
 * At one instant (the readings of one job report): the work first, then what was filled in, found,
 * added and measured. A sample taken along with a top-up counts as
 * taken after it, so that it is not believed before it has mixed.
 */
const ORDER: Record<LossFact['kind'], number> = {
  job: 0,
  fill: 1,
  'level-check': 2,
  'top-up': 3,
  'freeze-point': 4,
  'hold-test': 5,
  'reported-low': 6,
  'alert-action': 7,
};

export interface TimedFact {
  fact: LossFact;
  ms: number;
}

/**
 * The facts up to an instant in an order that does not depend on how they arrived; the same fact
 * twice counts once.
 */
export function inTimeOrder(facts: readonly LossFact[], asOf: string): TimedFact[] {
  const untilMs = instantMs(asOf);
  const seen = new Set<string>();
  const timed: TimedFact[] = [];
  for (const fact of facts) {
    const identity = `${fact.kind}:${fact.id}`;
    const ms = instantMs(fact.at);
    if (ms > untilMs || seen.has(identity)) continue;
    seen.add(identity);
    timed.push({ fact, ms });
  }
  return timed.sort(
    (a, b) =>
      a.ms - b.ms ||
      ORDER[a.fact.kind] - ORDER[b.fact.kind] ||
      (a.fact.id < b.fact.id ? -1 : a.fact.id > b.fact.id ? 1 : 0),
  );
}
