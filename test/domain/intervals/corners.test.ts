import { civilDateAt } from '../../../src/domain/calendar/zone.js';
import { lastReset } from '../../../src/domain/intervals/resets.js';
import type { WorkLine } from '../../../src/domain/intervals/types.js';
import { scanTimeline } from '../../../src/domain/usage/scan-timeline.js';
import type { UsageReading } from '../../../src/domain/usage/types.js';
import { datedLine, doneOn, outlookOf, ruleOf } from './due-fixtures.js';

const line = (component: WorkLine['component'], action: WorkLine['action']): WorkLine => ({
  component,
  action,
  item: null,
});
const always = (rest: Parameters<typeof ruleOf>[0]) => [{ from: '2020-01-01', rule: ruleOf(rest) }];

// Every date reckoned by hand from the calendar; months are those of the calendar, clamped to the
// month's end.
describe('the day a job was done on, and what it makes due', () => {
  it.each([
    // Half past nine in the evening of 31 January in Denver is 1 February by UTC.
    ['America/Denver', '2026-02-01T04:30:00Z', '2026-01-31', '2026-02-28'],
    ['UTC', '2026-02-01T04:30:00Z', '2026-02-01', '2026-03-01'],
    // The two sides of the date line: +14:00 and -11:00 at one instant.
    ['Pacific/Kiritimati', '2024-02-28T11:00:00Z', '2024-02-29', '2024-03-29'],
    ['Pacific/Pago_Pago', '2024-02-28T10:59:00Z', '2024-02-27', '2024-03-27'],
    // Before and after midnight of the night on which Denver's clocks go forward, 8 March 2026 (MST
    // ends at 09:00 UTC).
    ['America/Denver', '2026-03-08T06:59:59Z', '2026-03-07', '2026-04-07'],
    ['America/Denver', '2026-03-09T05:59:59Z', '2026-03-08', '2026-04-08'],
    ['America/Denver', '2026-03-09T06:00:00Z', '2026-03-09', '2026-04-09'],
    // The hour that comes twice on 1 November 2026.
    ['America/Denver', '2026-11-01T07:30:00Z', '2026-11-01', '2026-12-01'],
    ['America/Denver', '2026-11-01T08:30:00Z', '2026-11-01', '2026-12-01'],
    // Lord Howe's clocks change by half an hour, 5 April 2026.
    ['Australia/Lord_Howe', '2026-04-04T15:15:00Z', '2026-04-05', '2026-05-05'],
  ])('%s at %s is %s, and a month on %s', (timeZone, instant, on, dueOn) => {
    expect(civilDateAt(Date.parse(instant), timeZone)).toBe(on);
    expect(datedLine({ rules: always({ everyMonths: 1 }), baseline: doneOn(on), timeZone }).dueOn).toBe(
      dueOn,
    );
  });

  it.each([
    ['2023-08-31', 6, '2024-02-29'],
    ['2022-08-31', 6, '2023-02-28'],
    ['2024-02-29', 48, '2028-02-29'],
    ['2024-02-29', 12, '2025-02-28'],
    ['2025-11-30', 3, '2026-02-28'],
    ['2099-12-31', 2, '2100-02-28'],
  ])('%s and %d months are %s', (on, everyMonths, dueOn) => {
    expect(datedLine({ rules: always({ everyMonths }), baseline: doneOn(on) }).dueOn).toBe(dueOn);
  });
});

describe('which job a line counts from', () => {
  const coolant = line('coolant', 'replace');
  const job = (id: string, at: string, ...lines: WorkLine[]) => ({ id, at: Date.parse(at), lines });

  it.each([
    [
      'the later of two on one day',
      [job('a', '2026-04-02T08:00:00Z', coolant), job('b', '2026-04-02T15:00:00Z', coolant)],
      'b',
    ],
    [
      'the later, though it was posted first',
      [job('b', '2026-04-02T15:00:00Z', coolant), job('a', '2026-04-02T08:00:00Z', coolant)],
      'b',
    ],
    [
      'of two at one instant the greater id',
      [job('d', '2026-04-02T08:00:00Z', coolant), job('c', '2026-04-02T08:00:00Z', coolant)],
      'd',
    ],
    [
      'a flush as a replacement',
      [job('a', '2026-03-02T08:00:00Z', coolant), job('b', '2026-04-02T08:00:00Z', line('coolant', 'flush'))],
      'b',
    ],
    [
      'not one that did something less',
      [job('a', '2026-03-02T08:00:00Z', coolant), job('b', '2026-04-02T08:00:00Z', line('coolant', 'test'))],
      'a',
    ],
    ['none once the only one is voided', [], null],
  ])('%s', (_what, jobs, id) => {
    expect(lastReset(jobs, coolant)?.id ?? null).toBe(id);
  });
});

describe('severe switched on, or the plan changed, in mid-life', () => {
  // 70 % of 10,000 km and of 20 months (the 608 days to 5 September 2027) on the day of the change.
  const plan = { everyKm: 10_000, everyMonths: 20, severe: { everyKm: 6000, everyMonths: 10 } };
  const at = '2026-03-06';
  const counter = outlookOf({
    '2026-01-05': 10_000,
    '2026-03-05': 16_950,
    '2026-03-06': 17_050,
    '2026-04-05': 18_000,
  });
  const dueAt = (...rules: { from: string; rule: ReturnType<typeof ruleOf> | null }[]) =>
    datedLine({ rules, baseline: doneOn('2026-01-05', 10_000), distance: counter }).dueAt;
  const normal = { from: '2020-01-01', rule: ruleOf(plan) };
  const severe = { from: at, rule: ruleOf(plan, 'severe') };

  it('leaves 30 % of the severe interval', () => {
    // Midnight lies half-way between the readings at noon: 17,000 km, 70 %; 30 % of 6,000 are
    // 1,800.
    expect(dueAt(normal, severe).odometerLifetimeKm).toBeCloseTo(18_800, 6);
  });

  it('comes back to where it was when it is switched off the same day', () => {
    const back = { from: at, rule: ruleOf(plan) };
    expect(dueAt(normal, severe, back).odometerLifetimeKm).toBeCloseTo(20_000, 6);
    // 608 days to 5 September 2027, of which 548 are left; of the 306 of ten months 276 (275.8); of
    // the 610 of twenty months from the day of the change 550 (550.2).
    expect(dueAt(normal, severe, back).on).toBe('2027-09-07');
  });

  it('is the same under another plan that says the same as severe', () => {
    const swapped = { from: at, rule: ruleOf({ everyKm: 6000, everyMonths: 10 }) };
    expect(dueAt(normal, swapped)).toEqual(dueAt(normal, severe));
  });

  it('goes on over a time in which the plan did not have it', () => {
    const without = { from: '2026-02-01', rule: null };
    expect(dueAt(normal, without, severe).odometerLifetimeKm).toBeCloseTo(18_800, 6);
  });
});

describe('a replaced counter', () => {
  const reading = (id: string, on: string, odometerKm: number, odometerReplaced = false): UsageReading => ({
    id,
    at: Date.parse(`${on}T12:00:00Z`),
    odometerKm,
    engineHours: null,
    odometerReplaced,
    engineHoursReplaced: false,
    source: 'dash',
    decision: null,
    heldAtArrival: null,
  });

  it('goes on from the last value, so that what is due moves by nothing', () => {
    const readings = [
      reading('a', '2026-01-05', 10_000),
      reading('b', '2026-02-04', 11_500),
      reading('c', '2026-02-10', 0, true),
      reading('d', '2026-03-06', 1200),
    ];
    const life = scanTimeline(readings).readings.map(({ odometerLifetimeKm }) => odometerLifetimeKm);
    expect(life).toEqual([10_000, 11_500, 11_500, 12_700]);
    const days = ['2026-01-05', '2026-02-04', '2026-02-10', '2026-03-06'];
    const distance = outlookOf(Object.fromEntries(days.map((day, index) => [day, life[index]!])));
    const due = datedLine({
      rules: always({ everyKm: 2000 }),
      baseline: doneOn('2026-01-05', 10_000),
      distance,
    });
    // 12,000 km lie 500 km after the new counter's zero, of 1,200 km in 24 days: on the tenth of
    // them.
    expect(due.dueOn).toBe('2026-02-20');
  });
});
