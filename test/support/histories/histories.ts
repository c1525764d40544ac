import fc from 'fast-check';
import type { Service } from '../service.js';
import { act, actionArb } from './actions.js';
import { end, endingArb, factsArb, postAll } from './facts.js';
import { change, type Fleet, newFleet } from './fleet.js';
import { wayArb } from './ways.js';
import { changeArb } from './work.js';

const waysArb = fc.tuple(wayArb, wayArb);

/** What happens to a fleet of two vehicles over some months, and how much later it is inspected. */
export const historyArb = fc.record({
  ways: waysArb,
  actions: fc.array(actionArb, { minLength: 4, maxLength: 24 }),
  daysLater: fc.integer({ min: 0, max: 60 }),
});
export type History = typeof historyArb extends fc.Arbitrary<infer T> ? T : never;

/** Takes a new fleet through a history. */
export async function live(service: Service, { ways, actions, daysLater }: History): Promise<Fleet> {
  const fleet = await newFleet(service);
  for (const action of actions) await act(fleet, ways, action);
  service.clock.moveDays(daysLater);
  return fleet;
}

/** The same facts in two orders, then some changes and decisions. */
export const toldArb = fc.record({
  ways: waysArb,
  facts: factsArb.chain((facts) =>
    fc.tuple(
      fc.constant(facts),
      fc.shuffledSubarray(facts, { minLength: facts.length, maxLength: facts.length }),
    ),
  ),
  batchSize: fc.integer({ min: 1, max: 12 }),
  changes: fc.array(changeArb, { maxLength: 3 }),
  endings: fc.array(endingArb, { maxLength: 4 }),
});
export type Told = typeof toldArb extends fc.Arbitrary<infer T> ? T : never;

/**
 * Gives two new fleets the same facts: the first in one order and all at once, the second in
 * another order and in batches.
 */
export async function tell(
  service: Service,
  { ways, facts: [facts, shuffled], batchSize, changes, endings }: Told,
): Promise<[Fleet, Fleet]> {
  const first = await newFleet(service);
  const second = await newFleet(service);
  await postAll(first, ways, facts, 100);
  for (const each of changes) {
    await change(first, each);
    await change(second, each);
  }
  await postAll(second, ways, shuffled, batchSize);
  for (const ending of endings) {
    await end(first, ending);
    await end(second, ending);
  }
  return [first, second];
}
