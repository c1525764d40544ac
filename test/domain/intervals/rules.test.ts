import fc from 'fast-check';
import { lastReset, lineKey, resets } from '../../../src/domain/intervals/resets.js';
import { marginsOf, resolveRule } from '../../../src/domain/intervals/resolve-rule.js';
import {
  ACTIONS,
  COMPONENTS,
  type Action,
  type Component,
  type WorkLine,
} from '../../../src/domain/intervals/types.js';
import { english } from '../../support/english.js';
import { refusalOf } from '../../support/refusal.js';
import { intervalOf } from './due-fixtures.js';

const line = (component: Component, action: Action, item: string | null = null): WorkLine => ({
  component,
  action,
  item,
});

describe('resolveRule', () => {
  const rule = intervalOf({
    everyKm: 160_000,
    everyMonths: 96,
    first: { everyMonths: 120 },
    severe: { everyKm: 96_000 },
  });

  it('puts the severe limits in place of the normal ones and keeps the rest', () => {
    expect(resolveRule(rule, 'normal').every).toEqual({ km: 160_000, months: 96, hours: null });
    expect(resolveRule(rule, 'severe').every).toEqual({ km: 96_000, months: 96, hours: null });
  });

  it('lets the longer first interval hold for normal duty, unless severe has its own', () => {
    expect(resolveRule(rule, 'normal').first).toEqual({ km: 160_000, months: 120, hours: null });
    expect(resolveRule(rule, 'severe').first).toBeNull();
    const own = { ...rule, severe: { everyKm: 96_000, first: { everyKm: 120_000 } } };
    expect(resolveRule(own, 'severe').first).toEqual({ km: 120_000, months: 96, hours: null });
  });

  it.each([
    [{}, /at least one of everyDistance, everyMonths, everyEngineHours/],
    [{ everyKm: 0 }, /^everyDistance: 0 is no limit: it must be more than 0/],
    [{ everyHours: -5 }, /^everyEngineHours: -5 is no limit: it must be more than 0/],
    [{ everyMonths: 1.5 }, /^everyMonths: 1.5 is not a whole number/],
    [{ everyKm: Number.NaN }, /everyDistance/],
    [{ everyKm: 1, first: { everyMonths: 0.5 } }, /everyMonths/],
  ])('refuses %j', (limits, message) => {
    const refused = refusalOf(() => resolveRule(intervalOf(limits), 'normal'));
    expect(`${refused.field}: ${english(refused.detail)}`).toMatch(message);
  });
});

describe('marginsOf', () => {
  // All defaults: common practice, no source.
  it.each([
    [
      { km: 160_000, months: 96, hours: 4000 },
      { km: 1500, days: 30, hours: 50 },
      { km: 800, days: 14, hours: 25 },
    ],
    [
      { km: 5000, months: 3, hours: 100 },
      { km: 1000, days: 18, hours: 20 },
      { km: 500, days: 9, hours: 10 },
    ],
  ])('takes the smaller of the fixed lead and the share for %j', (every, window, grace) => {
    const margins = marginsOf({ window: {}, grace: {} }, every);
    expect(margins).toMatchObject({ window, grace });
    expect(margins.basis).toHaveLength(2);
  });

  it('says nothing of defaults where the plan gives all', () => {
    const all = { km: 100, days: 3, hours: 2 };
    expect(marginsOf({ window: all, grace: all }, { km: 5000, months: 3, hours: 100 })).toEqual({
      window: all,
      grace: all,
      basis: [],
    });
    expect(
      marginsOf({ window: { days: 0 }, grace: { days: 0 } }, { km: null, months: 3, hours: null }),
    ).toMatchObject({ window: { days: 0 }, grace: { days: 0 }, basis: [] });
  });
});

describe('resets', () => {
  // Which job starts which interval anew: common practice, no source.
  it.each([
    [line('water-pump', 'replace'), line('water-pump', 'replace'), true],
    [line('water-pump', 'replace'), line('water-pump', 'inspect'), true],
    [line('water-pump', 'inspect'), line('water-pump', 'replace'), false],
    [line('water-pump', 'replace'), line('coolant', 'replace'), false],
    [line('coolant', 'flush'), line('coolant', 'replace'), true],
    [line('coolant', 'flush'), line('coolant', 'test'), true],
    [line('radiator', 'flush'), line('radiator', 'replace'), false],
    [line('radiator', 'flush'), line('radiator', 'flush'), true],
    [line('coolant', 'replace'), line('coolant', 'recheck'), false],
    [line('drive-belt', 'replace', 'accessory'), line('drive-belt', 'inspect', 'accessory'), true],
    [line('drive-belt', 'replace', 'fan'), line('drive-belt', 'inspect', 'accessory'), false],
    [line('drive-belt', 'replace'), line('drive-belt', 'inspect', 'accessory'), true],
    [line('drive-belt', 'replace', 'accessory'), line('drive-belt', 'inspect'), true],
  ])('%j for %j: %s', (job, rule, expected) => {
    expect(resets(job, rule)).toBe(expected);
  });

  it('holds for any action and its own kind', () => {
    for (const component of COMPONENTS)
      for (const action of ACTIONS)
        expect(resets(line(component, action), line(component, action))).toBe(true);
  });
});

describe('lastReset', () => {
  const job = (id: string, at: number, ...lines: WorkLine[]) => ({ id, at, lines });

  it('takes the last by when it was done, whatever the order of reports', () => {
    const jobs = [
      job('c', 30, line('coolant', 'test')),
      job('b', 20, line('coolant', 'replace')),
      job('a', 10, line('coolant', 'replace')),
    ];
    expect(lastReset(jobs, line('coolant', 'replace'))!.id).toBe('b');
    expect(lastReset(jobs, line('coolant', 'test'))!.id).toBe('c');
    expect(lastReset(jobs, line('water-pump', 'replace'))).toBeNull();
  });

  it('does not depend on the order of the jobs', () => {
    const anyJob = fc.record({
      id: fc.string({ minLength: 1 }),
      at: fc.integer({ min: 0, max: 5 }),
      lines: fc.array(
        fc.constantFrom(line('coolant', 'replace'), line('coolant', 'test'), line('water-pump', 'replace')),
      ),
    });
    fc.assert(
      fc.property(fc.uniqueArray(anyJob, { selector: ({ id }) => id }), (jobs) => {
        expect(lastReset([...jobs].reverse(), line('coolant', 'test'))).toBe(
          lastReset(jobs, line('coolant', 'test')),
        );
      }),
    );
  });
});

describe('lineKey', () => {
  it('names a line by what is done to what', () => {
    expect(lineKey(line('drive-belt', 'replace', 'accessory'))).toBe('drive-belt/replace/accessory');
    expect(lineKey(line('coolant', 'replace'))).toBe('coolant/replace/');
  });
});
