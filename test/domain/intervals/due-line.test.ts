import fc from 'fast-check';
import { Temporal } from 'temporal-polyfill';
import { addDays, addMonths, civilDateOf, epochDayOf } from '../../../src/domain/calendar/civil-date.js';
import { civilDateAt } from '../../../src/domain/calendar/zone.js';
import { dueLineOf } from '../../../src/domain/intervals/due-line.js';
import { readDueLine, stateOn } from '../../../src/domain/intervals/due-state.js';
import { resolveRule } from '../../../src/domain/intervals/resolve-rule.js';
import type { DueLineInput } from '../../../src/domain/intervals/types.js';
import { dailyRate } from '../../../src/domain/usage/daily-rate.js';
import { crossingLookup, valueLookup } from '../../../src/domain/usage/usage-days.js';
import { textOf } from '../../../src/platform/words/render.js';
import { english, englishIn } from '../../support/english.js';
import { DAY, datedLine, doneOn, inputOf, intervalOf, noon, outlookOf, ruleOf } from './due-fixtures.js';

/** 50 km a day from 2026-01-05 on, read every Monday until 2026-03-30. */
const mondays = Object.fromEntries(
  Array.from({ length: 13 }, (_, week) => [addDays('2026-01-05', 7 * week), 10_000 + 350 * week]),
);
const distance = outlookOf(mondays);
const from = (rest: Parameters<typeof ruleOf>[0]) => [{ from: '2020-01-01', rule: ruleOf(rest) }];

describe('a limit in months', () => {
  // Calendar months with the day clamped to the month's end: the rule of Temporal's `add`, checked
  // against it below.
  it.each([
    ['2023-01-31', 1, '2023-02-28'],
    ['2024-01-31', 1, '2024-02-29'],
    ['2024-02-29', 12, '2025-02-28'],
    ['2024-08-31', 6, '2025-02-28'],
  ])('counts from %s %d months to %s', (on, everyMonths, dueOn) => {
    expect(datedLine({ rules: from({ everyMonths }), baseline: doneOn(on) })).toMatchObject({
      dueOn,
      earliestOn: dueOn,
      latestOn: dueOn,
      trigger: 'time',
      staleOn: null,
      needsReading: false,
    });
  });

  it('takes by default 20 % for the window and 10 % for the grace, at most 30 and 14 days', () => {
    // Common practice, no source. 6 months are 182.6 days: 30 (< 36.5) and 14 (< 18.2); one month 6
    // and 3.
    const halfYear = datedLine({ rules: from({ everyMonths: 6 }), baseline: doneOn('2026-01-15') });
    expect(halfYear).toMatchObject({
      windowOpensOn: '2026-06-15',
      dueOn: '2026-07-15',
      lateOn: '2026-07-29',
    });
    expect(halfYear.basis.map(english)).toContain('window 30 days: default, common practice');
    const byDistance = datedLine({ rules: from({ everyKm: 8046.72 }), baseline: doneOn('2026-01-15') });
    const told = byDistance.basis.map((said) => englishIn('us', said));
    expect(told).toContain('window 932 mi: default, common practice'); // 1,500 km
    expect(byDistance.basis.map(english)).toContain('window 1,500 km: default, common practice');
    const month = datedLine({ rules: from({ everyMonths: 1 }), baseline: doneOn('2026-01-15') });
    expect(month).toMatchObject({ windowOpensOn: '2026-02-09', dueOn: '2026-02-15', lateOn: '2026-02-18' });
  });

  it('takes the plan’s own window and grace, and is late the day after it is due at the earliest', () => {
    const rules = from({ everyMonths: 6, window: { days: 10 }, grace: { days: 0 } });
    expect(datedLine({ rules, baseline: doneOn('2026-01-15') })).toMatchObject({
      windowOpensOn: '2026-07-05',
      dueOn: '2026-07-15',
      lateOn: '2026-07-16',
    });
  });

  it('runs on while the vehicle is laid up, and has no line once it is disposed of', () => {
    const rules = from({ everyMonths: 6, everyKm: 1000 });
    const baseline = doneOn('2026-01-15', 10_000);
    expect(
      datedLine({ rules, baseline, distance: outlookOf({ '2026-01-15': 10_000 }, 50), status: 'laid-up' }),
    ).toMatchObject({
      dueOn: '2026-07-15',
      trigger: 'time',
      needsReading: false,
    });
    expect(dueLineOf(inputOf({ rules, baseline, status: 'disposed' }))).toBeNull();
  });
});

describe('a limit in distance', () => {
  it('is projected from the last reading by the daily rate', () => {
    // 14,200 km on 30 March; 15,000 is 800 km and 16 days further; the window of 1,000 km (20 % of
    // 5,000) opened at 14,000 on the 26th.
    const line = datedLine({
      rules: from({ everyKm: 5000 }),
      baseline: doneOn('2026-01-05', 10_000),
      distance,
    });
    expect(line).toMatchObject({
      dueOn: '2026-04-15',
      windowOpensOn: '2026-03-26',
      trigger: 'distance',
      staleOn: '2026-05-30',
      dueAt: { odometerLifetimeKm: 15_000, engineHoursLifetime: null, on: null },
    });
    // Grace 500 km (10 %): 10 days.
    expect(line.lateOn).toBe('2026-04-25');
  });

  it('that the readings have passed gives the day on which they crossed it', () => {
    const line = datedLine({
      rules: from({ everyKm: 3000 }),
      baseline: doneOn('2026-01-05', 10_000),
      distance,
    });
    // 3,000 km at 50 km a day: 60 days after noon of 5 January; grace 300 km, 6 days, crossed too.
    expect(line).toMatchObject({
      dueOn: '2026-03-06',
      earliestOn: '2026-03-06',
      latestOn: '2026-03-06',
      lateOn: '2026-03-12',
      lateLapsesOn: null,
      staleOn: null,
    });
  });

  it('says in words how the daily rate was found', () => {
    const { basis } = datedLine({
      rules: from({ everyKm: 3000 }),
      baseline: doneOn('2026-01-05', 10_000),
      distance,
    });
    const HOW = 'daily distance: median slope (Theil–Sen) of the last 90 days';
    expect(basis.map(english)).toContain(HOW);
    const inSpanish = basis.map((said) => textOf(said, { language: 'es', units: 'si' }));
    expect(inSpanish).toContain('distancia diaria: pendiente mediana (Theil–Sen) de los últimos 90 días');
  });

  it('that has a date from neither reading nor rate needs a reading', () => {
    const line = datedLine({
      rules: from({ everyKm: 3000, everyMonths: 12 }),
      baseline: doneOn('2026-01-05', 10_000),
      distance: outlookOf({ '2026-01-05': 10_000 }),
    });
    expect(line).toMatchObject({ dueOn: '2027-01-05', trigger: 'time', needsReading: true });
    expect(
      datedLine({ rules: from({ everyKm: 3000 }), baseline: doneOn('2026-01-05'), distance }),
    ).toMatchObject({ dueOn: null, windowOpensOn: null, lateOn: null, needsReading: true });
  });

  it('is projected by the declared rate from the baseline where nothing was ever read', () => {
    const line = datedLine({
      rules: from({ everyKm: 3000 }),
      baseline: doneOn('2026-01-05', 10_000),
      distance: outlookOf({}, 50),
    });
    expect(line).toMatchObject({ dueOn: '2026-03-06', staleOn: '2026-03-07' });
  });

  it('runs beside one in engine hours: whichever comes first', () => {
    const engineHours = outlookOf({ '2026-01-05': 100, '2026-02-02': 268, '2026-03-02': 436 });
    const line = datedLine({
      rules: from({ everyKm: 10_000, everyHours: 400 }),
      baseline: doneOn('2026-01-05', 10_000, 100),
      distance,
      engineHours,
    });
    // 6 h a day: 400 h after 66.7 days from noon of 5 January.
    expect(line).toMatchObject({ dueOn: '2026-03-13', trigger: 'engine-hours' });
  });
});

describe('a vehicle that was laid up', () => {
  it('is projected from its last reading and its first day in use again', () => {
    const rules = from({ everyKm: 5000 });
    const baseline = doneOn('2026-01-05', 10_000);
    const line = datedLine({ rules, baseline, distance, inUseSince: '2026-06-01' });
    // 800 km are left at 50 km a day: 16 days from the start of 1 June.
    expect(line).toMatchObject({ dueOn: '2026-06-17', staleOn: '2026-05-30' });
    expect(datedLine({ rules, baseline, distance, inUseSince: '2026-02-01' }).dueOn).toBe('2026-04-15');
  });
});

describe('a stale projection', () => {
  // 50 km a day declared, read once on 1 January; 60 days is common practice.
  const line = (everyKm: number, everyMonths?: number) =>
    datedLine({
      rules: from({ everyKm, everyMonths, grace: { days: 14, km: 500 } }),
      baseline: doneOn('2026-01-01', 10_000),
      distance: outlookOf({ '2026-01-01': 10_000 }, 50),
    });

  it('makes a line late by estimate only until it is stale, and due after that', () => {
    const point = line(1000);
    expect(point).toMatchObject({
      dueOn: '2026-01-21',
      lateOn: '2026-01-31',
      lateLapsesOn: '2026-03-03',
      lateForGoodOn: null,
    });
    expect(
      ['2026-01-20', '2026-01-21', '2026-01-31', '2026-03-02', '2026-03-03', '2027-01-01'].map((day) =>
        stateOn(day, point),
      ),
    ).toEqual(['window', 'due', 'late', 'late', 'due', 'due']);
    expect(readDueLine(point, '2026-03-02').stale).toBe(false);
    expect(readDueLine(point, '2026-03-03').stale).toBe(true);
  });

  it('never makes it late where the estimate would be stale by then', () => {
    const point = line(2900);
    // The projected day is shown; by then the reading it rests on is too old to call the line late.
    expect(point.dueOn).toBe('2026-02-28');
    expect(point.lateOn! > point.lateLapsesOn!).toBe(true);
    expect(stateOn('2030-01-01', point)).toBe('due');
  });

  it('leaves it late by the calendar', () => {
    const point = line(1000, 4);
    expect(point).toMatchObject({
      lateOn: '2026-01-31',
      lateLapsesOn: '2026-03-03',
      lateForGoodOn: '2026-05-15',
    });
    expect(
      ['2026-03-02', '2026-03-03', '2026-05-14', '2026-05-15'].map((day) => stateOn(day, point)),
    ).toEqual(['late', 'due', 'due', 'late']);
    expect(line(1000, 1)).toMatchObject({ lateOn: '2026-01-31', lateLapsesOn: null, lateForGoodOn: null });
  });
});

describe('reading a line on a day', () => {
  const uneven = Object.entries(mondays).map(([day, km], week) => [day, km + (week % 2 === 0 ? 0 : 150)]);
  const point = datedLine({
    rules: from({ everyKm: 5000 }),
    baseline: doneOn('2026-01-05', 10_000),
    distance: outlookOf(Object.fromEntries(uneven) as Record<string, number>),
  });

  it('raises the earliest day to today as long as the limit is not reached', () => {
    expect(point.earliestOn! < '2026-04-14').toBe(true);
    expect(readDueLine(point, '2026-04-14').earliestOn).toBe('2026-04-14');
    expect(readDueLine(point, '2026-04-15').earliestOn).toBe(point.earliestOn);
    expect(readDueLine(point, '2026-04-01').earliestOn).toBe(point.earliestOn);
  });

  it('knows a line without a baseline', () => {
    expect(dueLineOf(inputOf({ rules: from({ everyMonths: 6 }) }))).toEqual({ state: 'no-baseline' });
    expect(readDueLine({ state: 'no-baseline' }, '2026-01-01')).toEqual({
      state: 'no-baseline',
      earliestOn: null,
      stale: false,
    });
  });
});

describe('the first interval', () => {
  const rules = from({ everyMonths: 36, first: { everyMonths: 60 } });

  it('counts from the in-service date, and never again', () => {
    const inService = { ...doneOn('2020-03-15'), kind: 'in-service' as const };
    expect(datedLine({ rules, baseline: inService }).dueOn).toBe('2025-03-15');
    expect(datedLine({ rules, baseline: doneOn('2024-12-01') }).dueOn).toBe('2027-12-01');
  });
});

describe('a fixed schedule', () => {
  const origin = { ...doneOn('2020-01-31', 0, 0), kind: 'in-service' as const };
  const line = (on: string, km: number) =>
    datedLine({
      rules: from({ everyMonths: 12, everyKm: 20_000, anchor: 'schedule' }),
      baseline: doneOn(on, km),
      scheduleOrigin: origin,
      distance,
    }).dueAt;

  it('keeps its grid whether the work was a little early or late', () => {
    expect(line('2023-01-10', 59_000)).toMatchObject({ on: '2024-01-31', odometerLifetimeKm: 80_000 });
    expect(line('2023-03-20', 62_000)).toMatchObject({ on: '2024-01-31', odometerLifetimeKm: 80_000 });
  });

  it('goes on to the next point more than half an interval after the work', () => {
    expect(line('2023-07-15', 69_999)).toMatchObject({ on: '2024-01-31', odometerLifetimeKm: 80_000 });
    expect(line('2023-08-15', 70_000)).toMatchObject({ on: '2025-01-31', odometerLifetimeKm: 100_000 });
  });

  it('always lies more than half and at most one and a half intervals after the work', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 48 }),
        fc.integer({ min: 0, max: 4000 }),
        fc.integer({ min: 0, max: 300_000 }),
        (everyMonths, later, km) => {
          const on = addDays(origin.on, later);
          const { dueAt } = datedLine({
            rules: from({ everyMonths, everyKm: 7000, anchor: 'schedule' }),
            baseline: doneOn(on, km),
            scheduleOrigin: origin,
          });
          const length = epochDayOf(addMonths(on, everyMonths)) - epochDayOf(on);
          const days = epochDayOf(dueAt.on!) - epochDayOf(on);
          expect(days).toBeGreaterThanOrEqual(Math.floor(length / 2));
          expect(days).toBeLessThanOrEqual(1.5 * length + 4);
          expect(dueAt.odometerLifetimeKm! % 7000).toBe(0);
          expect(dueAt.odometerLifetimeKm! - km).toBeGreaterThan(3500);
          expect(dueAt.odometerLifetimeKm! - km).toBeLessThanOrEqual(10_500);
          expect(Number(dueAt.on!.slice(8))).toBeGreaterThanOrEqual(28);
        },
      ),
    );
  });
});

describe('a change of duty or plan', () => {
  const plan = { everyKm: 10_000, everyMonths: 20, severe: { everyKm: 6000, everyMonths: 10 } };
  const [normal, severe] = [ruleOf(plan), ruleOf(plan, 'severe')];
  const changed = (on: string) => [
    { from: '2020-01-01', rule: normal },
    { from: on, rule: severe },
  ];
  const baseline = doneOn('2026-01-05', 10_000);

  it('carries the used share over: 70 % of a normal interval leaves 30 % of the severe one', () => {
    const readings = outlookOf({ '2026-01-05': 10_000, '2026-03-05': 17_000, '2026-04-05': 18_000 });
    // Read at noon of 5 March; the change is at the first instant of the 6th, when 17,016 km had
    // been run: 29.84 % of 6,000 km are left.
    const { dueAt, basis } = datedLine({ rules: changed('2026-03-06'), baseline, distance: readings });
    expect(dueAt.odometerLifetimeKm).toBeCloseTo(17_016.13 + 0.298387 * 6000, 1);
    expect(basis.map(english)).toContain(
      'interval changed on 2026-03-06: the used share carried over (common practice)',
    );
    // Time: 608 days to 5 September 2027, of which 60 were used; 306 days of 10 months from then,
    // 90.1 % of them left.
    expect(dueAt.on).toBe(addDays('2026-03-06', Math.round((548 / 608) * 306)));
  });

  it('takes nothing as used while the vehicle was laid up before the change', () => {
    const rested = {
      rules: changed('2026-06-10'),
      baseline,
      distance: outlookOf({ '2026-01-05': 10_000 }, 50),
    };
    const { dueAt } = datedLine({ ...rested, inUseSince: '2026-06-01' });
    // 9 days at 50 km from 1 June: 10,450 km, 95.5 % of 10,000 left, of 6,000 that is 5,730.
    expect(dueAt.odometerLifetimeKm).toBeCloseTo(10_450 + 0.955 * 6000, 6);
  });

  it('leaves what was already due where it was', () => {
    const readings = outlookOf({ '2026-01-05': 10_000, '2026-03-05': 21_000, '2026-04-05': 22_000 });
    const before = datedLine({ rules: [changed('')[0]!], baseline, distance: readings });
    const after = datedLine({ rules: changed('2026-03-10'), baseline, distance: readings });
    expect(after.dueAt.odometerLifetimeKm).toBe(20_000);
    expect(after.dueOn).toBe(before.dueOn);
  });

  it('brings a limit that only the new plan has no sooner than the day of the change', () => {
    const byKm = ruleOf({ everyKm: 5000 });
    const line = datedLine({
      rules: [
        { from: '2020-01-01', rule: ruleOf({ everyMonths: 20 }) },
        { from: '2026-03-10', rule: byKm },
      ],
      baseline,
      distance: outlookOf({ '2026-01-05': 10_000, '2026-03-05': 21_000, '2026-04-05': 22_000 }),
    });
    expect(line.dueOn).toBe('2026-03-10');
    const late = datedLine({ rules: [{ from: '2026-03-10', rule: ruleOf({ everyMonths: 1 }) }], baseline });
    expect(late.dueOn).toBe('2026-03-10');
  });

  it('changes nothing where the new plan says the same', () => {
    const rules = [
      { from: '2020-01-01', rule: normal },
      { from: '2026-02-01', rule: ruleOf({ ...plan, window: { days: 5 } }) },
    ];
    const { dueAt, windowOpensOn, dueOn } = datedLine({ rules, baseline });
    expect(dueAt).toMatchObject({ on: '2027-09-05' });
    expect(windowOpensOn).toBe(addDays(dueOn!, -5));
  });

  it('never makes a line due before the day of the change', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 900 }),
        fc.integer({ min: 10, max: 400 }),
        fc.boolean(),
        fc.record({
          everyKm: fc.integer({ min: 500, max: 60_000 }),
          everyMonths: fc.integer({ min: 1, max: 60 }),
        }),
        fc.record({
          everyKm: fc.integer({ min: 500, max: 60_000 }),
          everyMonths: fc.integer({ min: 1, max: 60 }),
        }),
        (days, perDay, hasKm, before, after) => {
          const on = addDays('2026-01-05', days);
          const readings = outlookOf(
            Object.fromEntries(
              [0, 300, 600, 950].map((day) => [addDays('2026-01-05', day), 10_000 + day * perDay]),
            ),
          );
          const first = {
            from: '2020-01-01',
            rule: ruleOf(hasKm ? before : { everyMonths: before.everyMonths }),
          };
          const old = datedLine({ rules: [first], baseline, distance: readings });
          const now = datedLine({
            rules: [first, { from: on, rule: ruleOf(after) }],
            baseline,
            distance: readings,
          });
          if (old.dueOn! >= on) expect(now.dueOn! >= on).toBe(true);
          else expect(now.dueOn! >= old.dueOn!).toBe(true);
        },
      ),
    );
  });
});

describe('any due line', () => {
  const margins = fc.option(
    fc.record({
      km: fc.option(fc.integer({ min: 0, max: 3000 })),
      days: fc.option(fc.integer({ min: 0, max: 60 })),
      hours: fc.option(fc.integer({ min: 0, max: 100 })),
    }),
  );
  const limits = fc.record({
    everyKm: fc.option(fc.integer({ min: 500, max: 100_000 })),
    everyMonths: fc.integer({ min: 1, max: 96 }),
    everyHours: fc.option(fc.integer({ min: 50, max: 4000 })),
  });
  const counter = fc
    .array(fc.record({ gap: fc.integer({ min: 1, max: 40 }), run: fc.integer({ min: 0, max: 3000 }) }), {
      maxLength: 20,
    })
    .chain((steps) =>
      fc.option(fc.integer({ min: 1, max: 300 })).map((declared) => {
        let [at, value] = [noon('2024-02-20'), 5000];
        const points = steps.map(({ gap, run }) => ({ at: (at += gap * DAY), value: (value += run) }));
        return { points, declared };
      }),
    );
  const zones = fc.constantFrom(
    'UTC',
    'America/Denver',
    'Pacific/Kiritimati',
    'Pacific/Pago_Pago',
    'Europe/Berlin',
  );
  const outlook = (
    { points, declared }: { points: { at: number; value: number }[]; declared: number | null },
    zone: string,
  ) => ({
    rate: dailyRate(
      points.map(({ at, value }) => ({ epochDay: epochDayOf(civilDateAt(at, zone)), at, value })),
      declared,
      null,
    ),
    last: points.at(-1) ?? null,
    crossedAt: crossingLookup(points),
    valueAt: valueLookup(points),
  });

  it('has its days in order, and its states in order as the days pass', () => {
    fc.assert(
      fc.property(
        limits,
        margins,
        margins,
        counter,
        counter,
        zones,
        fc.integer({ min: 0, max: 500 }),
        (every, window, grace, km, hours, timeZone, offset) => {
          const rule = resolveRule(intervalOf({ ...every, window, grace }), 'normal');
          const input: DueLineInput = inputOf({
            rules: [{ from: '2020-01-01', rule }],
            baseline: doneOn(addDays('2023-12-31', offset), 4800, 4900),
            distance: outlook(km, timeZone),
            engineHours: outlook(hours, timeZone),
            timeZone,
          });
          const line = datedLine(input);
          const { windowOpensOn, dueOn, lateOn, earliestOn, latestOn } = line;
          expect(windowOpensOn! <= dueOn!).toBe(true);
          expect(lateOn === null || lateOn > dueOn!).toBe(true);
          expect(earliestOn! <= dueOn! && dueOn! <= latestOn!).toBe(true);
          expect(dueOn! <= addMonths(input.baseline!.on, every.everyMonths)).toBe(true);
          const order = { 'not-due': 0, window: 1, due: 2, late: 3 };
          let highest = 0;
          for (let day = epochDayOf('2023-12-01'); day < epochDayOf('2033-06-01'); day += 3) {
            const today = civilDateOf(day);
            const state = stateOn(today, line);
            // Backward only from late to due, and only where a stale estimate lapses.
            if (order[state] < highest)
              expect([state, line.lateLapsesOn !== null && today >= line.lateLapsesOn]).toEqual([
                'due',
                true,
              ]);
            highest = Math.max(highest, order[state]);
          }
        },
      ),
      { numRuns: 60 },
    );
  });

  it('adds months in the fleet’s zone as Temporal does, over leap days and daylight-saving changes', () => {
    fc.assert(
      fc.property(
        zones,
        fc.integer({ min: Date.UTC(2023, 0, 1), max: Date.UTC(2029, 0, 1) }),
        fc.integer({ min: 1, max: 96 }),
        (timeZone, doneAt, everyMonths) => {
          const on = civilDateAt(doneAt, timeZone);
          const expected = Temporal.Instant.fromEpochMilliseconds(doneAt)
            .toZonedDateTimeISO(timeZone)
            .add({ months: everyMonths })
            .toPlainDate();
          expect(datedLine({ rules: from({ everyMonths }), baseline: doneOn(on), timeZone }).dueOn).toBe(
            expected.toString(),
          );
        },
      ),
    );
  });
});
