import fc from 'fast-check';
import { gapOf } from '../../../src/domain/visits/gap.js';
import { labourOf } from '../../../src/domain/visits/labour-hours.js';
import { assignmentOf, milpModelOf, valuesOf } from '../../../src/domain/visits/milp-model.js';
import type { VisitProblem } from '../../../src/domain/visits/types.js';
import { assignmentCost, isFeasible } from '../../../src/domain/visits/visit-cost.js';
import type { SolveLimits } from '../../../src/planning/visit-plans/milp-thread.js';
import { solveMilp } from '../../../src/planning/visit-plans/milp-solver.js';
import { greedyPlan, leastCost, smallProblems } from '../../domain/visits/small-problems.js';

const LIMITS: SolveLimits = { seconds: 20, gap: 0, memoryMb: 512 };

const solve = (problem: VisitProblem, limits = LIMITS, signal?: AbortSignal) => {
  const programme = milpModelOf(problem);
  const start = valuesOf(programme, greedyPlan(problem));
  return solveMilp(programme, start, limits, signal).then((solved) => ({ programme, solved }));
};

/**
 * Vehicles with a pump, a belt and coolant due on days that are apart; too few hours for all on
 * their best day.
 */
function problemOf(vehicles: number, hoursEach = 2): VisitProblem {
  const components = ['water-pump', 'drive-belt', 'coolant'] as const;
  const lines = Array.from({ length: vehicles * 3 }, (_, i) => {
    const dueOn = 100 + ((i * 7) % 9);
    return {
      id: String(i),
      vehicleId: `v${Math.floor(i / 3)}`,
      labour: labourOf({ component: components[i % 3] ?? 'coolant', action: 'replace' }, null),
      windowOpensOn: dueOn - 3,
      dueOn,
      lateOn: dueOn + 2,
      lifeDays: 365,
      fixedOn: null,
    };
  });
  const rates = { labourPerHour: 80, downtimePerDay: 200, latenessPerDay: 50 };
  const days = [100, 101, 102, 103, 104];
  return {
    lines,
    days,
    dayAfter: 107,
    hoursOn: new Map(days.map((day) => [day, hoursEach * vehicles])),
    rates,
  };
}

describe('the solver', () => {
  it('finds the least cost of all assignments, compared one by one, and proves it', async () => {
    for (const problem of fc.sample(smallProblems, { seed: 11, numRuns: 40 })) {
      const { programme, solved } = await solve(problem);
      // Where nothing is worth planning there is nothing to be solved.
      const plan = assignmentOf(problem, programme, solved.values ?? []);
      expect(isFeasible(problem, plan)).toBe(true);
      const [{ total }, least] = [assignmentCost(problem, plan), leastCost(problem)];
      expect(total).toBeCloseTo(least, 6);
      expect(solved.bound).toBeCloseTo(least, 4);
      expect(solved.trouble).toBeNull();
    }
  });

  it('also does so if a vehicle has too many lines for a choice of every group', async () => {
    const [one] = problemOf(1).lines;
    if (!one) throw new Error('a problem without a line');
    const components = ['water-pump', 'drive-belt', 'coolant', 'thermostat', 'radiator', 'idler'] as const;
    const lines = components.map((component, i) => ({
      ...one,
      ...{ id: component, windowOpensOn: 98 + i, dueOn: 100 + i, lateOn: 100 + 2 * i },
      labour: labourOf({ component, action: 'replace' }, null),
    }));
    const days = [100, 101, 102];
    const rates = { labourPerHour: 80, downtimePerDay: 100, latenessPerDay: 50 };
    for (const hours of [4, 6, 12]) {
      const problem = {
        lines,
        days,
        dayAfter: 107,
        hoursOn: new Map(days.map((day) => [day, hours])),
        rates,
      };
      const { programme, solved } = await solve(problem);
      expect(programme.openings.size).toBeGreaterThan(0);
      const plan = assignmentOf(problem, programme, solved.values ?? []);
      expect(assignmentCost(problem, plan).total).toBeCloseTo(leastCost(problem), 6);
      expect(solved.bound).toBeCloseTo(leastCost(problem), 4);
    }
  });

  it('costs no more than the greedy plan when hours are scarce, and its bound is below both', async () => {
    for (const vehicles of [3, 6]) {
      const problem = problemOf(vehicles);
      const { programme, solved } = await solve(problem, { ...LIMITS, gap: 0.01 });
      const plan = assignmentOf(problem, programme, solved.values ?? []);
      expect(isFeasible(problem, plan)).toBe(true);
      const { total } = assignmentCost(problem, plan);
      expect(total).toBeLessThanOrEqual(assignmentCost(problem, greedyPlan(problem)).total + 1e-6);
      expect(gapOf(total, solved.bound)).toBeLessThanOrEqual(0.01 + 1e-6);
    }
  });

  it('keeps decisions that were made', async () => {
    const problem = problemOf(3);
    const lines = problem.lines.map((line, i) => ({ ...line, fixedOn: i === 0 ? 104 : null }));
    const { programme, solved } = await solve({ ...problem, lines });
    expect(assignmentOf({ ...problem, lines }, programme, solved.values ?? []).get('0')).toBe(104);
  });

  it('does not block the process, and ends when its time is over with its best plan', async () => {
    const problem = problemOf(300, 0.7);
    let turns = 0;
    const ticking = setInterval(() => turns++, 10);
    const { solved } = await solve(problem, { seconds: 2, gap: 0, memoryMb: 1024 });
    clearInterval(ticking);
    expect(turns).toBeGreaterThan(10);
    expect(solved.trouble).toBe('its time was over');
    expect(solved.values).not.toBeNull();
  });

  it('gives up if it needs more memory than allowed, or when told to', async () => {
    const { solved } = await solve(problemOf(300, 0.7), { ...LIMITS, memoryMb: 17 });
    expect(solved.trouble).toMatch(/abort|memory/i);
    const stop = new AbortController();
    setTimeout(() => stop.abort(), 500);
    const stopped = await solve(problemOf(300, 0.7), LIMITS, stop.signal);
    expect(stopped.solved.trouble).toBe('the service is stopping');
  });
});
