import fc from 'fast-check';
import type { Component } from '../../../src/domain/intervals/types.js';
import { atOnceFirst } from '../../../src/domain/visits/at-once-first.js';
import { labourOf } from '../../../src/domain/visits/labour-hours.js';
import type { LineToPlan, VisitProblem } from '../../../src/domain/visits/types.js';
import { isFeasible } from '../../../src/domain/visits/visit-cost.js';
import { greedyPlan, RATES, smallProblems } from './small-problems.js';

const DAYS = [100, 101, 102, 103];

// Hours of the table (common practice, no source): a pump alone takes 4.3 h, a belt 1.1 h.
const line = (id: string, component: Component, extra: Partial<LineToPlan> = {}): LineToPlan => ({
  ...{ id, vehicleId: id, labour: labourOf({ component, action: 'replace' }, null), fixedOn: null },
  ...{ windowOpensOn: 90, dueOn: 99, lateOn: 106, lifeDays: null, ...extra },
});

const problemOf = (lines: LineToPlan[], hours = 5): VisitProblem => ({
  ...{ lines, days: DAYS, dayAfter: 106, rates: RATES },
  hoursOn: new Map(DAYS.map((day) => [day, hours])),
});

const daysOf = ({ lines }: VisitProblem): Record<string, number | null> =>
  Object.fromEntries(lines.map(({ id, fixedOn }) => [id, fixedOn]));

describe('lines that are due at once, in a plan of visits', () => {
  it('get the first day, however late the other work is', () => {
    const late = line('late', 'water-pump', { dueOn: 20, lateOn: 30 });
    const unsafe = line('unsafe', 'water-pump', { isAtOnce: true });
    const rates = { ...RATES, latenessPerDay: 1000 };
    const problem = { ...problemOf([late, unsafe]), rates };
    // 5 h a day hold one pump: by cost alone the late one comes first.
    expect(greedyPlan(problem).get('unsafe')).toBe(101);
    const plan = greedyPlan(atOnceFirst(problem));
    expect([plan.get('unsafe'), plan.get('late')]).toEqual([100, 101]);
  });

  it('come in order of their due days, each on the first day with room', () => {
    const lines = [
      line('third', 'water-pump', { isAtOnce: true, dueOn: 99 }),
      line('first', 'water-pump', { isAtOnce: true, dueOn: 97 }),
      line('second', 'water-pump', { isAtOnce: true, dueOn: 98 }),
    ];
    expect(daysOf(atOnceFirst(problemOf(lines)))).toEqual({ first: 100, second: 101, third: 102 });
  });

  it('of one vehicle come in together, and apart where no day has room for all', () => {
    const lines = [
      line('pump', 'water-pump', { isAtOnce: true, vehicleId: 'v' }),
      line('radiator', 'radiator', { isAtOnce: true, vehicleId: 'v' }),
    ];
    expect(daysOf(atOnceFirst(problemOf(lines, 9)))).toEqual({ pump: 100, radiator: 100 });
    expect(daysOf(atOnceFirst(problemOf(lines, 5)))).toEqual({ pump: 100, radiator: 101 });
  });

  it('leave a decided day alone, and count its hours', () => {
    const decided = line('decided', 'water-pump', { fixedOn: 100 });
    const moved = line('moved', 'drive-belt', { fixedOn: 103, isAtOnce: true });
    const unsafe = line('unsafe', 'water-pump', { isAtOnce: true });
    expect(daysOf(atOnceFirst(problemOf([decided, moved, unsafe])))).toEqual({
      ...{ decided: 100, moved: 103, unsafe: 101 },
    });
  });

  it('that were put off get the first day from the one they were put off to, and not before', () => {
    const putOff = line('put off', 'water-pump', { isAtOnce: true, dueOn: 102, lateOn: 109 });
    const late = line('late', 'water-pump', { dueOn: 20, lateOn: 30 });
    expect(daysOf(atOnceFirst(problemOf([late, putOff])))).toEqual({ 'put off': 102, late: null });
    // Its day fell between two working days, or is already over.
    const days = [100, 101, 104];
    expect(daysOf(atOnceFirst({ ...problemOf([putOff]), days, hoursOn: new Map([[104, 5]]) }))).toEqual({
      'put off': 104,
    });
    const over = { ...putOff, dueOn: 99 };
    expect(daysOf(atOnceFirst(problemOf([late, over])))).toEqual({ 'put off': 100, late: null });
    // Another of the same vehicle that is due now does not wait for it.
    const now = line('now', 'drive-belt', { isAtOnce: true, vehicleId: 'put off' });
    expect(daysOf(atOnceFirst(problemOf([putOff, now])))).toEqual({ 'put off': 102, now: 100 });
    const after = line('after', 'water-pump', { isAtOnce: true, dueOn: 104 });
    expect(daysOf(atOnceFirst(problemOf([after])))).toEqual({ after: null });
  });

  it('that no day has room for are planned like any other', () => {
    const problem = problemOf([line('unsafe', 'water-pump', { isAtOnce: true })], 3);
    expect(daysOf(atOnceFirst(problem))).toEqual({ unsafe: null });
  });

  it('leave the rest of the plan feasible', () => {
    fc.assert(
      fc.property(smallProblems, fc.array(fc.boolean(), { minLength: 4, maxLength: 4 }), (problem, flags) => {
        // Such a line was opened before the plan begins.
        const lines = problem.lines.map((each, i) =>
          flags[i] ? { ...each, isAtOnce: true, windowOpensOn: 90, dueOn: 90, lateOn: 97 } : each,
        );
        const first = atOnceFirst({ ...problem, lines });
        expect(isFeasible(first, greedyPlan(first))).toBe(true);
      }),
      { seed: 7, numRuns: 150 },
    );
  });
});
