import fc from 'fast-check';
import { civilDateOf, epochDayOf } from '../../../src/domain/calendar/civil-date.js';
import { useNow } from '../../../src/domain/usage/change-of-route.js';
import {
  dailyRate as rateOf,
  isUsualWindowEnough,
  USUAL_WINDOW_DAYS,
} from '../../../src/domain/usage/daily-rate.js';
import type { UsageDay } from '../../../src/domain/usage/types.js';
import { refusingInEnglish } from '../../support/refusals-in-english.js';

const dailyRate = refusingInEnglish(rateOf);

const DAY = 86_400_000;
const FIRST = epochDayOf('2026-01-05');

/** Noon, UTC, of a day counted from 2026-01-05. */
const on = (day: number, value: number): UsageDay => ({
  epochDay: FIRST + day,
  at: (FIRST + day) * DAY + DAY / 2,
  value,
});
const weekly = (...values: number[]) => values.map((value, week) => on(week * 7, value));

describe('dailyRate', () => {
  it('is the median of the slopes between all pairs of days', () => {
    // By hand: weeks 0…3 at 0, 300, 650, 900 km; the six slopes per week are 300, 350, 250, 325,
    // 300, 300, whose median is 300.
    const rate = dailyRate(weekly(0, 300, 650, 900), null, null)!;
    expect(rate.method).toBe('theil-sen-90-days');
    expect(rate.perDay).toBeCloseTo(300 / 7, 10);
    expect(rate).toMatchObject({ n: 4, spanDays: 21 });
  });

  it('finds the scatter of daily use from the increments between the readings', () => {
    // By hand: increments 300, 350, 250 against 300 a week: (0 + 50² + 50²)/7 over 4 − 2 degrees of
    // freedom; t 0.95 with 2 is 2.92 (table).
    const rate = dailyRate(weekly(0, 300, 650, 900), null, null)!;
    expect(rate.sPerRootDay).toBeCloseTo(Math.sqrt(5000 / 7 / 2), 9);
    expect(rate.high - rate.perDay).toBeCloseTo((2.92 * rate.sPerRootDay!) / Math.sqrt(21), 2);
  });

  it('takes the 90 days up to the last reading, whatever was before', () => {
    const before = [on(0, 0), on(10, 50), on(20, 100)];
    const since = [40, 60, 80, 110].map((day) => on(day, day * 30));
    expect(dailyRate([...before, ...since], null, null)!).toMatchObject({
      method: 'theil-sen-90-days',
      perDay: 30,
    });
  });

  it('falls back on a year, the mean, the declared rate, and nothing', () => {
    expect(dailyRate([on(0, 0), on(150, 3000), on(300, 6000)], 99, null)).toMatchObject({
      method: 'theil-sen-365-days',
      perDay: 20,
    });
    expect(dailyRate([on(0, 0), on(700, 14_000)], 99, null)).toMatchObject({
      method: 'mean',
      perDay: 20,
      sPerRootDay: null,
    });
    expect(dailyRate([on(0, 0), on(2, 50), on(8, 160)], 99, null)).toMatchObject({
      method: 'mean',
      perDay: 20,
      n: 3,
    });
    expect(dailyRate([on(0, 0), on(6, 160)], 64, null)).toMatchObject({
      method: 'declared',
      perDay: 64,
      low: 64 / 1.5,
      high: 96,
    });
    expect(dailyRate([on(0, 0)], null, null)).toBeNull();
  });

  it('is not moved by one wild reading', () => {
    const values = Array.from({ length: 13 }, (_, week) => week * 350);
    values[6] = 9000;
    expect(dailyRate(weekly(...values), null, null)!.perDay).toBeCloseTo(50, 9);
  });

  it('is never negative', () => {
    expect(dailyRate(weekly(100, 98, 96, 95), null, null)).toMatchObject({ perDay: 0, low: 0 });
  });

  it('thins daily readings to 30, from the first to the last', () => {
    const rate = dailyRate(
      Array.from({ length: 120 }, (_, day) => on(day, day * 42)),
      null,
      null,
    )!;
    expect(rate).toMatchObject({ n: 30, spanDays: 90 });
    expect(rate.perDay).toBeCloseTo(42, 9);
  });

  it('counts only days in use for a seasonal vehicle', () => {
    // A sweeper in use from April to October, 40 km a day in use; the winter between adds nothing.
    const days: UsageDay[] = [];
    let km = 0;
    for (let day = epochDayOf('2025-08-01'); day <= epochDayOf('2026-05-10'); day++) {
      const month = Number(civilDateOf(day).slice(5, 7));
      if (month >= 4 && month <= 10) km += 40;
      if (day % 7 === 0) days.push({ epochDay: day, at: day * DAY, value: km });
    }
    const rate = dailyRate(days, null, [4, 5, 6, 7, 8, 9, 10])!;
    expect(rate.perDay).toBeCloseTo(40, 9);
    expect(dailyRate(days.slice(0, -3), null, null)!.perDay).not.toBeCloseTo(40, 0);
    expect(dailyRate(days.slice(0, -3), null, [4, 5, 6, 7, 8, 9, 10])!.perDay).toBeCloseTo(40, 9);
    expect(dailyRate(days, null, [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12])).toEqual(
      dailyRate(days, null, null),
    );
  });

  it('uses the readings since a change of route', () => {
    const wobble = (week: number) => 20 * Math.sin(week * 2.4);
    const values = Array.from(
      { length: 30 },
      (_, week) => 350 * week + wobble(week) + (week > 24 ? 300 * (week - 24) : 0),
    );
    const rate = dailyRate(weekly(...values), null, null)!;
    expect(rate.method).toBe('weighed-weeks');
    expect(rate.perDay).toBeCloseTo(650 / 7, 0);
  });

  it('sees no change of route where the scatter explains the difference', () => {
    const values = [0, 350, 500, 1100, 1300, 1500, 2100, 2500, 2600, 3300, 3500, 4300, 4700, 4900];
    expect(dailyRate(weekly(...values), null, null)!.method).toBe('theil-sen-90-days');
  });

  it('weighs every place at which the use may have changed by Bayes’ rule', () => {
    // Six values leave one place, 14 days before the last. Reckoned from the formula in another
    // program (Python): c 0.12468 with the change and 0.55502 without, so the change weighs
    // 0.99570; 71.964 km a day lie a little below the 72.143 since it, towards the 50 before.
    const now = useNow([0, 340, 710, 1050, 1540, 2060].map((y, week) => ({ x: week * 7, y })))!;
    expect(now.perDay).toBeCloseTo(71.96377033577986, 8);
    expect(now.relativeDeviation).toBeCloseTo(0.03624027179054722, 8);
    expect(now.relativeSpread).toBeCloseTo(0.013218011916009045, 8);
    expect(now.relativeScatter).toBeCloseTo(0.12963296361781543, 8);
    expect(now.n).toBe(6);
  });

  it('says nothing of a change where there are too few weeks, no use, or perfectly even use', () => {
    const even = (weeks: number, perWeek: number) =>
      useNow(Array.from({ length: weeks }, (_, week) => ({ x: week * 7, y: week * perWeek })));
    expect(even(4, 350)).toBeNull();
    expect(even(12, 0)).toBeNull();
    expect(even(26, 350)!.perDay).toBeCloseTo(50, 9);
    expect(even(26, 350)!.relativeSpread).toBeCloseTo(0, 9);
  });

  it('needs no more than the last 180 days where it says so', () => {
    fc.assert(
      fc.property(
        fc.array(
          fc.record({ gap: fc.integer({ min: 1, max: 45 }), run: fc.integer({ min: 0, max: 4000 }) }),
          { minLength: 1, maxLength: 60 },
        ),
        fc.constantFrom(null, [4, 5, 6, 7, 8, 9, 10], [12, 1, 2]),
        (steps, months) => {
          let [day, km] = [0, 0];
          const days = steps.map(({ gap, run }) => on((day += gap), (km += run)));
          const few = days.filter(({ epochDay }) => epochDay >= FIRST + day - USUAL_WINDOW_DAYS);
          expect(isUsualWindowEnough(few, months)).toBe(isUsualWindowEnough(days, months));
          if (isUsualWindowEnough(days, months))
            expect(dailyRate(few, null, months)).toEqual(dailyRate(days, null, months));
        },
      ),
    );
  });

  it('refuses a negative expectation', () => {
    expect(() => dailyRate([], -1, null)).toThrow(/0 or more/);
  });
});
