import fc from 'fast-check';
import { epochDayOf } from '../../../src/domain/calendar/civil-date.js';
import { gapOf } from '../../../src/domain/visits/gap.js';
import { reasonsLeftOut } from '../../../src/domain/visits/left-out.js';
import { type PricedPlan, pricedSteps } from '../../../src/domain/visits/priced-plan.js';
import type { VisitProblem } from '../../../src/domain/visits/types.js';
import { assignmentCost, isFeasible } from '../../../src/domain/visits/visit-cost.js';
import {
  closedBecause,
  USUAL_WEEKDAYS,
  weekdayOf,
  workingDays,
} from '../../../src/domain/visits/working-days.js';
import { english } from '../../support/english.js';
import { leastCost, smallProblems } from './small-problems.js';

function pricedPlan(problem: VisitProblem): PricedPlan {
  const steps = pricedSteps(problem);
  for (;;) {
    const { done, value } = steps.next();
    if (done) return value;
  }
}

describe('a plan by prices', () => {
  it('is feasible, and its bound is never above the least cost, nor its cost below', () => {
    const ratios: number[] = [];
    fc.assert(
      fc.property(smallProblems, (problem) => {
        const { assignment, cost, bound } = pricedPlan(problem);
        const least = leastCost(problem);
        expect(bound).toBeLessThanOrEqual(least + 1e-6);
        expect(cost).toBeGreaterThanOrEqual(least - 1e-6);
        expect(assignment !== null && isFeasible(problem, assignment)).toBe(true);
        expect(assignment && assignmentCost(problem, assignment).total).toBeCloseTo(cost, 6);
        ratios.push(cost / least);
      }),
      { numRuns: 100, seed: 3 },
    );
    expect(ratios.filter((ratio) => ratio < 1 + 1e-9).length).toBeGreaterThan(80);
  });

  it('is the cheapest there is, and proved to be, where hours are plenty', () => {
    for (const problem of fc.sample(smallProblems, { seed: 9, numRuns: 30 })) {
      const plenty = { ...problem, hoursOn: new Map(problem.days.map((day) => [day, 1000])) };
      const { cost, bound } = pricedPlan(plenty);
      expect([cost, bound]).toEqual([expect.closeTo(leastCost(plenty), 6), expect.closeTo(cost, 6)]);
    }
  });

  it('has a bound that holds for more lines of one vehicle than are grouped in every way', () => {
    const [problem] = fc.sample(smallProblems, { seed: 5, numRuns: 1 }) as [VisitProblem];
    const [line] = problem.lines;
    if (!line) throw new Error('a problem without a line');
    const lines = Array.from({ length: 7 }, (_, i) => ({ ...line, id: String(i) }));
    const many = {
      ...problem,
      days: [102, 103],
      lines,
      hoursOn: new Map([
        [102, 9],
        [103, 9],
      ]),
    };
    const { bound } = pricedPlan(many);
    expect(bound).toBeGreaterThan(0);
    expect(bound).toBeLessThanOrEqual(leastCost(many) + 1e-6);
  });
});

describe('a gap', () => {
  it('is told only where it is proved', () => {
    expect(gapOf(200, 190)).toBeCloseTo(0.05, 12);
    expect([gapOf(200, null), gapOf(0, 0), gapOf(200, 200.0000001)]).toEqual([null, 0, 0]);
  });
});

describe('the days on which a depot works', () => {
  const usual = { weekdays: USUAL_WEEKDAYS, closedOn: ['2026-04-06'] };

  it('are those of its week, less those on which it is closed', () => {
    // 1970-01-01 was a Thursday, 2026-04-03 a Friday (ISO 8601 calendar; cal 4 2026).
    expect([weekdayOf(0), weekdayOf(epochDayOf('2026-04-03')), weekdayOf(-1)]).toEqual([
      'thursday',
      'friday',
      'wednesday',
    ]);
    const { days, dayAfter } = workingDays('2026-04-03', '2026-04-08', usual);
    expect(days).toEqual(['2026-04-03', '2026-04-07', '2026-04-08'].map(epochDayOf));
    expect(dayAfter).toBe(epochDayOf('2026-04-09'));
    expect(workingDays('2026-04-04', '2026-04-05', usual)).toEqual({
      days: [],
      dayAfter: epochDayOf('2026-04-07'),
    });
    expect(workingDays('2026-04-04', '2026-04-05', { weekdays: [], closedOn: [] }).dayAfter).toBeNull();
  });

  it('says why a day is none of them', () => {
    expect(closedBecause(epochDayOf('2026-04-04'), usual)).toBe('saturday');
    expect(closedBecause(epochDayOf('2026-04-06'), usual)).toBe('closed');
    expect(closedBecause(epochDayOf('2026-04-07'), usual)).toBeNull();
  });
});

describe('a line that is left for later', () => {
  const line = {
    ...{ id: 'a', vehicleId: 'v', labour: { ownHours: 3, opening: { 'take-in': 0.3 } } },
    ...{ windowOpensOn: 100, dueOn: 101, lateOn: 110, lifeDays: 100, fixedOn: null },
  };
  const problem: VisitProblem = {
    ...{ lines: [line], days: [100, 101], dayAfter: 104 },
    hoursOn: new Map([
      [100, 8],
      [101, 8],
    ]),
    rates: { labourPerHour: 80, downtimePerDay: 200, latenessPerDay: 50 },
  };
  const left = new Map([['a', null]]);
  const reasonIn = (changed: Partial<VisitProblem>) =>
    english(reasonsLeftOut({ ...problem, ...changed }, left).get('a')!);

  it('is told why', () => {
    expect(reasonIn({})).toMatch(/costs no more on 1970-04-15/);
    expect(
      reasonIn({
        hoursOn: new Map([
          [100, 2],
          [101, 3],
        ]),
      }),
    ).toMatch(/takes 3\.3 hours\. No working day from 1970-04-11 on has/);
    expect(reasonIn({ days: [] })).toMatch(/works on none of the days/);
    expect(reasonIn({ lines: [{ ...line, windowOpensOn: 102, dueOn: 103 }] })).toMatch(
      /window opens on 1970-04-13/,
    );
    const other = { ...line, id: 'b', vehicleId: 'w' };
    const busy = { ...problem, lines: [line, other], days: [101], hoursOn: new Map([[101, 5]]) };
    const assignment = new Map([
      ['a', null],
      ['b', 101],
    ]);
    expect(english(reasonsLeftOut(busy, assignment).get('a')!)).toMatch(/costs more to leave/);
  });
});
