import fc from 'fast-check';
import { addDays, civilDateOf, epochDayOf } from '../../../src/domain/calendar/civil-date.js';
import { dailyRate } from '../../../src/domain/usage/daily-rate.js';
import { daysInUseBetween, nthDayInUse } from '../../../src/domain/usage/days-in-use.js';
import { estimateNow, isStale, project, staleFrom } from '../../../src/domain/usage/projection.js';
import type { DailyRate } from '../../../src/domain/usage/types.js';
import { crossingLookup, lastOfEachDay, valueLookup } from '../../../src/domain/usage/usage-days.js';

const DAY = 86_400_000;
const noon = (date: string) => epochDayOf(date) * DAY + DAY / 2;
const declared = (perDay: number, months: number[] | null = null) => dailyRate([], perDay, months)!;
const found = (rest: Partial<DailyRate>): DailyRate => ({
  perDay: 50,
  low: 45,
  high: 55,
  method: 'theil-sen-90-days',
  sPerRootDay: 30,
  deviation: 30 / Math.sqrt(84),
  spanDays: 84,
  n: 13,
  inUseMonths: null,
  ...rest,
});

describe('project', () => {
  it('divides what is left by the rate', () => {
    // 1,000 km at 50 km a day are 20 days; ÷ 1.5 and × 1.5 (common practice): 13.3 and 30.
    expect(project(declared(50), { at: noon('2026-01-01'), value: 1000 }, 2000, 'UTC')).toEqual({
      on: '2026-01-21',
      earliestOn: '2026-01-14',
      latestOn: '2026-01-31',
    });
  });

  it('puts a 90 % band around it from the scatter of the days to come and of the rate', () => {
    // By hand: t 0.95 with 11 is 1.796 (table); h = 60: 1.796·√(30²·60 + 30²/84·60²)/50 = 10.93
    // days.
    expect(project(found({}), { at: noon('2026-01-01'), value: 0 }, 3000, 'UTC')).toEqual({
      on: '2026-03-02',
      earliestOn: addDays('2026-03-02', -11),
      latestOn: addDays('2026-03-02', 11),
    });
    expect((1.796 * Math.sqrt(900 * 60 + (900 / 84) * 3600)) / 50).toBeCloseTo(10.93, 2);
  });

  it('gives no date for a vehicle that is not used, nor for one a hundred years off', () => {
    const last = { at: noon('2026-01-01'), value: 0 };
    expect(project(declared(0), last, 100, 'UTC')).toBeNull();
    expect(project(declared(0.001), last, 100, 'UTC')).toBeNull();
    expect(project(declared(0), last, -5, 'UTC')).toEqual({
      on: '2026-01-01',
      earliestOn: '2026-01-01',
      latestOn: '2026-01-01',
    });
  });

  it('gives the date in the fleet’s zone', () => {
    const last = { at: Date.UTC(2026, 0, 1, 10, 30), value: 0 };
    expect(project(declared(50), last, 50, 'Pacific/Kiritimati')!.on).toBe('2026-01-03');
    expect(project(declared(50), last, 50, 'Pacific/Pago_Pago')!.on).toBe('2026-01-01');
  });

  it('passes over the months in which a seasonal vehicle rests', () => {
    const months = [4, 5, 6, 7, 8, 9, 10];
    const last = { at: noon('2026-10-29'), value: 0 };
    // Two days in use are left in October (30th, 31st), the third is 1 April.
    expect(project(declared(40, months), last, 80, 'UTC')!.on).toBe('2026-10-31');
    expect(project(declared(40, months), last, 120, 'UTC')!.on).toBe('2027-04-01');
  });

  it('comes later the more is left, with the band around it', () => {
    fc.assert(
      fc.property(
        fc.record({
          perDay: fc.double({ min: 1, max: 400, noNaN: true }),
          s: fc.double({ min: 0, max: 200, noNaN: true }),
          n: fc.integer({ min: 3, max: 30 }),
          spanDays: fc.integer({ min: 14, max: 90 }),
        }),
        fc.integer({ min: 0, max: 200_000 }),
        fc.integer({ min: 0, max: 50_000 }),
        fc.constantFrom(null, [4, 5, 6, 7], [11, 12, 1, 2]),
        ({ perDay, s, n, spanDays }, left, more, inUseMonths) => {
          const deviation = s / Math.sqrt(spanDays);
          const rate = found({ perDay, sPerRootDay: s, deviation, n, spanDays, inUseMonths });
          const last = { at: noon('2026-03-08'), value: 10_000 };
          const near = project(rate, last, 10_000 + left, 'America/Denver');
          const far = project(rate, last, 10_000 + left + more, 'America/Denver');
          if (near === null) return expect(far).toBeNull();
          expect(near.earliestOn <= near.on && near.on <= near.latestOn).toBe(true);
          expect(near.earliestOn >= '2026-03-08').toBe(true);
          if (far) expect(far.on >= near.on).toBe(true);
        },
      ),
    );
  });
});

describe('estimateNow and staleness', () => {
  it('adds the rate for each day since', () => {
    expect(estimateNow(declared(50), { at: 0, value: 1000 }, 2 * DAY, 'UTC')).toBe(1100);
    expect(estimateNow(declared(50), { at: 5 * DAY, value: 1000 }, 2 * DAY, 'UTC')).toBe(1000);
    const winter = { at: noon('2026-10-30'), value: 1000 };
    expect(estimateNow(declared(40, [4, 5, 6, 7, 8, 9, 10]), winter, noon('2027-02-01'), 'UTC')).toBe(1040);
  });

  it('calls a reading stale when it is older than 60 days', () => {
    // Common practice, no source.
    expect(staleFrom('2026-01-01')).toBe('2026-03-03');
    expect(isStale('2026-01-01', '2026-03-02')).toBe(false);
    expect(isStale('2026-01-01', '2026-03-03')).toBe(true);
  });
});

describe('days in use', () => {
  it('counts and finds them alike', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 19_000, max: 21_000 }),
        fc.integer({ min: 1, max: 800 }),
        fc.uniqueArray(fc.integer({ min: 1, max: 12 }), { minLength: 1 }),
        (day, count, months) => {
          const nth = nthDayInUse(day, count, months);
          expect(daysInUseBetween(day, nth, months)).toBe(count);
          expect(daysInUseBetween(day, nth - 1, months)).toBe(count - 1);
        },
      ),
    );
  });

  it('takes an empty list as no season', () => {
    for (const months of [[], [13]])
      expect(civilDateOf(nthDayInUse(epochDayOf('2026-02-28'), 1, months))).toBe('2026-03-01');
  });
});

describe('lookups in the readings', () => {
  const points = [
    { at: 3000, value: 400 },
    { at: 0, value: 100 },
    { at: 1000, value: 200 },
  ];

  it('interpolate when a value was crossed', () => {
    const crossedAt = crossingLookup(points);
    expect([50, 150, 200, 300, 400, 401].map(crossedAt)).toEqual([0, 500, 1000, 2000, 3000, null]);
    expect(crossingLookup([])(1)).toBeNull();
  });

  it('take the last crossing where a figure later proved too high', () => {
    const bump = [
      { at: 0, value: 100 },
      { at: 1000, value: 500 },
      { at: 2000, value: 200 },
      { at: 3000, value: 300 },
    ];
    expect(crossingLookup(bump)(250)).toBe(2500);
    expect(crossingLookup(bump)(400)).toBeNull();
  });

  it('interpolate the value at an instant, and say nothing outside the readings', () => {
    const valueAt = valueLookup(points);
    expect([-1, 0, 500, 2000, 3000, 3001].map(valueAt)).toEqual([null, 100, 150, 300, 400, null]);
  });

  it('keep the last value of each day in the fleet’s zone', () => {
    const evening = Date.UTC(2026, 2, 9, 5); // 8 March, 23:00 in Denver, the day of the change to daylight saving.
    const days = lastOfEachDay(
      [
        { at: evening, value: 20 },
        { at: evening - 15 * 3_600_000, value: 10 },
        { at: evening + 3_600_000, value: 30 },
      ],
      'America/Denver',
    );
    expect(days.map(({ epochDay, value }) => [civilDateOf(epochDay), value])).toEqual([
      ['2026-03-08', 20],
      ['2026-03-09', 30],
    ]);
  });
});
