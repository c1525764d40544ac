import { intervalsIn } from '../../../src/domain/conclusions/intervals-in-circuits.js';
import type { IntervalRule } from '../../../src/domain/intervals/types.js';
import { type CircuitName, ENGINE_ALONE } from '../../../src/domain/vehicles/circuits.js';

const interval = (everyMonths: number, circuit?: CircuitName): IntervalRule => ({
  ...{ component: 'coolant', action: 'replace', item: null, everyMonths, anchor: 'completion' },
  ...(circuit && { circuit }),
});

/** What applies: months and circuit, as recorded. */
function applying(intervals: IntervalRule[], first: CircuitName, ...others: CircuitName[]) {
  const circuits = { first, others };
  return intervalsIn({ circuits }, new Map([['p', intervals]]), 'p').map(({ everyMonths, circuit }) => [
    everyMonths,
    circuit ?? null,
  ]);
}

describe('the intervals of a plan', () => {
  it('are for the first circuit unless they name one', () => {
    expect(applying([interval(48)], 'battery', 'cabin')).toEqual([[48, null]]);
  });

  it('apply to the circuits that the vehicle has', () => {
    const plan = [interval(48), interval(72, 'battery'), interval(60, 'cabin')];
    expect(applying(plan, 'engine', 'battery')).toEqual([
      [48, null],
      [72, 'battery'],
    ]);
  });

  it('count by name where one for the same work names none', () => {
    const plan = [interval(48), interval(72, 'battery')];
    expect(applying(plan, 'battery')).toEqual([[72, null]]);
    expect(applying([...plan].reverse(), 'battery')).toEqual([[72, null]]);
  });

  it('are the plan itself where none names a circuit, so that nothing is computed anew', () => {
    const intervals = [interval(48)];
    const found = intervalsIn({ circuits: ENGINE_ALONE }, new Map([['p', intervals]]), 'p');
    expect(found).toBe(intervals);
    expect(intervalsIn({ circuits: ENGINE_ALONE }, new Map(), null)).toEqual([]);
  });
});
