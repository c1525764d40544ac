import fc from 'fast-check';
import { greedySteps } from '../../../src/domain/visits/greedy-plan.js';
import { labourOf } from '../../../src/domain/visits/labour-hours.js';
import type { Assignment, LineToPlan, VisitProblem } from '../../../src/domain/visits/types.js';
import { assignmentCost, isFeasible } from '../../../src/domain/visits/visit-cost.js';

export const RATES = { labourPerHour: 80, downtimePerDay: 200, latenessPerDay: 50 };

/** The greedy plan, all its steps at once. */
export function greedyPlan(problem: VisitProblem): Assignment {
  const steps = greedySteps(problem);
  for (;;) {
    const { done, value } = steps.next();
    if (done) return value;
  }
}

/** Every assignment there is, tried one by one: the least cost by nothing but the definition. */
export function leastCost(problem: VisitProblem): number {
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
/** Few lines and days, and hours from none to plenty. */
export const smallProblems = fc
  .record({ raw: fc.array(line, { minLength: 1, maxLength: 4 }), hours: fc.constantFrom(0, 3, 5, 9) })
  .map(({ raw, hours }): VisitProblem => {
    const lines = raw.map(({ lead, grace, ...rest }, i): LineToPlan => {
      const { component, action, ...line } = rest;
      const dueOn = rest.windowOpensOn + lead;
      const labour = labourOf({ component, action }, null);
      return { ...line, labour, id: String(i), dueOn, lateOn: dueOn + grace, fixedOn: null };
    });
    const days = [100, 101, 102, 103];
    return { lines, days, dayAfter: 106, hoursOn: new Map(days.map((day) => [day, hours])), rates: RATES };
  });
