import fc from 'fast-check';
import { greedyPlan } from '../../../src/domain/visits/greedy-plan.js';
import { visitHours } from '../../../src/domain/visits/labour-hours.js';
import type { Assignment, LineToPlan, VisitProblem } from '../../../src/domain/visits/types.js';
import { assignmentCost, isFeasible } from '../../../src/domain/visits/visit-cost.js';

const RATES = { labourPerHour: 80, downtimePerDay: 200, latenessPerDay: 50 };

/** Every assignment there is, tried one by one: the least cost by nothing but the definition. */
function leastCost(problem: VisitProblem): number {
  const choices = [null, ...problem.days];
  let least = Infinity;
  for (let number = 0; number < choices.length ** problem.lines.length; number++) {
    const assignment: Assignment = new Map(
      problem.lines.map(({ id }, i) => [
        id,
        choices[Math.floor(number / choices.length ** i) % choices.length] ?? null,
      ]),
    );
    if (isFeasible(problem, assignment)) least = Math.min(least, assignmentCost(problem, assignment).total);
  }
  return least;
}

const line = fc.record({
  vehicleId: fc.constantFrom('a', 'b'),
  component: fc.constantFrom('water-pump' as const, 'drive-belt' as const, 'coolant' as const),
  action: fc.constantFrom('replace' as const, 'inspect' as const),
  windowOpensOn: fc.integer({ min: 98, max: 106 }),
  lead: fc.integer({ min: 0, max: 6 }),
  grace: fc.integer({ min: 0, max: 4 }),
  lifeDays: fc.option(fc.integer({ min: 20, max: 400 })),
});
const problems = fc
  .record({ raw: fc.array(line, { minLength: 1, maxLength: 4 }), hours: fc.constantFrom(0, 3, 5, 9) })
  .map(({ raw, hours }): VisitProblem => {
    const lines = raw.map(({ lead, grace, ...rest }, i): LineToPlan => {
      const dueOn = rest.windowOpensOn + lead;
      return { ...rest, id: String(i), dueOn, lateOn: dueOn + grace };
    });
    return { lines, days: [100, 101, 102, 103], dayAfter: 106, labourHoursPerDay: hours, rates: RATES };
  });

const of = (id: string, component: LineToPlan['component'], dueOn: number): LineToPlan => ({
  id,
  vehicleId: 'a',
  component,
  action: 'replace',
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
    // The table's hours (common practice, no source), summed by hand: 0.3 + 0.5 + 1.5 + 2 + 0.3 + 0.3; alone 4.3, 1.1 and 2.1.
    expect(visitHours([pump, belt, coolant])).toBeCloseTo(4.9, 9);
    expect([pump, belt, coolant].map((each) => visitHours([each]))).toEqual([
      expect.closeTo(4.3, 9),
      expect.closeTo(1.1, 9),
      expect.closeTo(2.1, 9),
    ]);
  });

  it('brings lines of one vehicle together where that saves more than going early costs', () => {
    const lines = [of('1', 'water-pump', 101), of('2', 'coolant', 103)];
    const problem = { lines, days: [100, 101, 102, 103], dayAfter: 106, labourHoursPerDay: 8, rates: RATES };
    const plan = greedyPlan(problem);
    expect(plan.get('1')).toBe(plan.get('2'));
    // By hand: one day out, 4.6 h at 80; on day 103 nothing is early and nothing late.
    expect(assignmentCost(problem, plan).total).toBeCloseTo(200 + 4.6 * 80, 9);
  });

  it('is always feasible, never below the least cost of all assignments, and mostly at it', () => {
    const [ratios, runs] = [[] as number[], 150];
    fc.assert(
      fc.property(problems, (problem) => {
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
