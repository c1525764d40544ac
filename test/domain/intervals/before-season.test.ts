import fc from 'fast-check';
import { addDays, epochDayOf } from '../../../src/domain/calendar/civil-date.js';
import { dueBeforeSeason } from '../../../src/domain/intervals/before-season.js';
import { isBeforeWindow } from '../../../src/domain/intervals/before-window.js';
import { dueLineOf } from '../../../src/domain/intervals/due-line.js';
import { resolveRule } from '../../../src/domain/intervals/resolve-rule.js';
import { refusalText } from '../../support/refusal.js';
import { datedLine, doneOn, inputOf, intervalOf, ruleOf } from './due-fixtures.js';

const SUMMER = [4, 5, 6, 7, 8, 9, 10];
const OVER_NEW_YEAR = [11, 12, 1, 2, 3];

// 14 days before the first day of the season; work done since its window (30 days) opened counts
// for it: common practice, no source. Days by hand.
describe('work due before a season', () => {
  const due = (months: number[] | null, done: string, askedFrom = done, windowDays = 30) =>
    dueBeforeSeason(months, { doneOn: done, askedFrom, windowDays });

  it.each([
    ['in the season before', SUMMER, '2025-07-20', '2026-03-18'],
    ['on its first day', SUMMER, '2025-04-01', '2026-03-18'],
    ['on the last day of the year', SUMMER, '2025-12-31', '2026-03-18'],
    ['on New Year’s Day', SUMMER, '2026-01-01', '2026-03-18'],
    ['the day before the window opens', SUMMER, '2026-02-15', '2026-03-18'],
    ['on the day the window opens', SUMMER, '2026-02-16', '2027-03-18'],
    ['a week late, in the season', SUMMER, '2026-04-08', '2027-03-18'],
    ['in a southern summer', OVER_NEW_YEAR, '2026-01-15', '2026-10-18'],
    ['in a southern winter', OVER_NEW_YEAR, '2026-06-01', '2026-10-18'],
    ['in a southern November', OVER_NEW_YEAR, '2026-11-02', '2027-10-18'],
    ['before a season that begins in January', [1, 2, 3], '2025-08-01', '2025-12-18'],
    ['before one that begins in March of a leap year', [3, 4, 5], '2027-10-01', '2028-02-16'],
    ['between two seasons in a year', [1, 2, 6, 7], '2026-03-01', '2026-05-18'],
    ['in the second of two', [1, 2, 6, 7], '2026-07-01', '2026-12-18'],
  ])('done %s', (_when, months, done, expected) => {
    expect(due(months, done)).toBe(expected);
  });

  it('has no season where the vehicle is in use all year', () => {
    for (const months of [null, [], [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12]])
      expect(due(months, '2026-01-01')).toBeNull();
  });

  it('is not due before the interval asks for it', () => {
    expect(due(SUMMER, '2020-05-01', '2026-03-17')).toBe('2026-03-18');
    expect(due(SUMMER, '2020-05-01', '2026-03-19')).toBe('2027-03-18');
  });

  it('lies after the work, within a year and its lead, and 14 days before a month in use that follows one of rest', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 18_000, max: 30_000 }),
        fc.uniqueArray(fc.integer({ min: 1, max: 12 }), { minLength: 1, maxLength: 11 }),
        fc.integer({ min: 0, max: 60 }),
        (day, months, windowDays) => {
          const done = addDays('1970-01-01', day);
          const on = due(months, done, done, windowDays)!;
          expect(epochDayOf(on) - day).toBeGreaterThan(windowDays);
          expect(epochDayOf(on) - day).toBeLessThanOrEqual(366 + windowDays);
          const first = addDays(on, 14);
          expect(first.slice(8)).toBe('01');
          expect(months).toContain(Number(first.slice(5, 7)));
          expect(months).not.toContain(Number(addDays(first, -1).slice(5, 7)));
        },
      ),
    );
  });
});

describe('a line with beforeSeason', () => {
  const rules = (rest: object) => [{ from: '2020-01-01', rule: ruleOf({ beforeSeason: true, ...rest }) }];

  it('comes due by the season or its other limits, whichever comes first', () => {
    const baseline = doneOn('2025-07-20');
    const line = (rest: object, inUseMonths: number[] | null) =>
      datedLine({ rules: rules(rest), baseline, inUseMonths });
    // By default 30 days of window, and of grace 14: late on the first day of the season.
    expect(line({ everyMonths: 12 }, SUMMER)).toMatchObject({
      windowOpensOn: '2026-02-16',
      dueOn: '2026-03-18',
      lateOn: '2026-04-01',
      trigger: 'time',
      dueAt: { on: '2026-03-18' },
    });
    expect(line({ everyMonths: 6 }, SUMMER)).toMatchObject({
      dueOn: '2026-01-20',
      dueAt: { on: '2026-01-20' },
    });
    expect(line({ everyMonths: 12 }, null)).toMatchObject({ dueOn: '2026-07-20' });
  });

  it('is no line for a vehicle in use all year that has no other limit', () => {
    const input = inputOf({ rules: rules({}), baseline: doneOn('2025-07-20') });
    expect(dueLineOf(input)).toBeNull();
    expect(dueLineOf({ ...input, inUseMonths: SUMMER })).toMatchObject({ dueOn: '2026-03-18' });
  });

  it('is asked for from the day the plan began to, where that came after the work', () => {
    const from = (on: string) =>
      datedLine({
        rules: [
          { from: '2020-01-01', rule: ruleOf({ everyMonths: 120 }) },
          { from: on, rule: ruleOf({ everyMonths: 120, beforeSeason: true }) },
        ],
        baseline: doneOn('2022-07-20'),
        inUseMonths: SUMMER,
      }).dueOn;
    expect(from('2026-03-18')).toBe('2026-03-18');
    expect(from('2026-05-01')).toBe('2027-03-18');
  });

  it('needs no other limit, and none is taken for one', () => {
    expect(resolveRule(intervalOf({ beforeSeason: true }), 'normal').every).toEqual({
      km: null,
      months: null,
      hours: null,
    });
    expect(refusalText(() => resolveRule(intervalOf({}), 'normal'))).toMatch(/beforeSeason/);
  });

  it('counts work in the weeks before a season as in its window', () => {
    const rule = ruleOf({ beforeSeason: true, everyMonths: 24 });
    const before = (on: string, months: number[] | null) =>
      isBeforeWindow(
        rule,
        doneOn('2025-07-20'),
        { on, odometerLifetimeKm: null, engineHoursLifetime: null },
        months,
      );
    expect([before('2026-02-15', SUMMER), before('2026-02-16', SUMMER), before('2026-02-16', null)]).toEqual([
      true,
      false,
      true,
    ]);
  });
});
