import fc from 'fast-check';
import type { Component } from '../../../src/domain/intervals/types.js';
import { labourOf, visitHours } from '../../../src/domain/visits/labour-hours.js';
import type { LineToPlan } from '../../../src/domain/visits/types.js';
import { assignmentCost, costOnDueDays, isFeasible } from '../../../src/domain/visits/visit-cost.js';
import { greedyPlan, leastCost, RATES, smallProblems } from './small-problems.js';

const of = (id: string, component: Component, dueOn: number): LineToPlan => ({
  id,
  vehicleId: 'a',
  labour: labourOf({ component, action: 'replace' }, null),
  fixedOn: null,
  windowOpensOn: dueOn - 5,
  dueOn,
  lateOn: dueOn + 2,
  lifeDays: 365,
});

describe('planning visits', () => {
  it('counts what opens the way once: pump, belt and coolant together', () => {
    const [pump, belt, coolant] = [
      of('1', 'water-pump', 100),
      of('2', 'drive-belt', 100),
      of('3', 'coolant', 100),
    ];
    // The table's hours (common practice, no source), summed by hand: 0.3 + 0.5 + 1.5 + 2 + 0.3 +
    // 0.3; alone 4.3, 1.1 and 2.1.
    expect(visitHours([pump, belt, coolant])).toBeCloseTo(4.9, 9);
    expect([pump, belt, coolant].map((each) => visitHours([each]))).toEqual([
      expect.closeTo(4.3, 9),
      expect.closeTo(1.1, 9),
      expect.closeTo(2.1, 9),
    ]);
  });

  it('brings lines of one vehicle together where that saves more than going early costs', () => {
    const lines = [of('1', 'water-pump', 101), of('2', 'coolant', 103)];
    const days = [100, 101, 102, 103];
    const hoursOn = new Map(days.map((day) => [day, 8]));
    const problem = { lines, days, dayAfter: 106, hoursOn, rates: RATES };
    const plan = greedyPlan(problem);
    expect(plan.get('1')).toBe(plan.get('2'));
    // By hand: one day out, 4.6 h at 80; on day 103 nothing is early and nothing late.
    expect(assignmentCost(problem, plan).total).toBeCloseTo(200 + 4.6 * 80, 9);
    // By hand: two days out, 4.3 h for the pump alone and 2.1 h for the coolant alone, each on its
    // due day.
    expect(costOnDueDays(problem).total).toBeCloseTo(2 * 200 + (4.3 + 2.1) * 80, 9);
    // And a day that somebody has decided on stays, dear as it may be.
    const decided = {
      ...problem,
      lines: lines.map((line) => ({ ...line, fixedOn: line.id === '1' ? 101 : 103 })),
    };
    expect([...greedyPlan(decided).values()]).toEqual([101, 103]);
  });

  it('goes by the hours of a spec sheet where it has some of its own', () => {
    const rules = {
      preparations: { 'drain-and-fill': 1 },
      lines: [
        {
          component: 'water-pump' as const,
          action: 'replace' as const,
          hours: 3,
          preparations: ['belt-off' as const],
        },
      ],
    };
    const labour = labourOf({ component: 'water-pump', action: 'replace' }, rules);
    expect(labour).toEqual({ ownHours: 3, opening: { 'take-in': 0.3, 'belt-off': 0.5 } });
    const coolant = labourOf({ component: 'coolant', action: 'replace' }, rules);
    // 0.3 + 0.5 + 3, and with the coolant 1 + 0.3 more.
    expect(visitHours([{ labour }])).toBeCloseTo(3.8, 9);
    expect(visitHours([{ labour }, { labour: coolant }])).toBeCloseTo(5.1, 9);
  });

  it('is always feasible, never below the least cost of all assignments, and mostly at it', () => {
    const [ratios, runs] = [[] as number[], 150];
    fc.assert(
      fc.property(smallProblems, (problem) => {
        const plan = greedyPlan(problem);
        expect(isFeasible(problem, plan)).toBe(true);
        const [cost, least] = [assignmentCost(problem, plan).total, leastCost(problem)];
        expect(cost).toBeGreaterThanOrEqual(least - 1e-6);
        ratios.push(cost / least);
      }),
      { numRuns: runs, seed: 7 },
    );
    expect(ratios.filter((ratio) => ratio < 1 + 1e-9).length / runs).toBeGreaterThan(0.9);
  });
});
