import fc from 'fast-check';
import { Temporal } from 'temporal-polyfill';
import {
  addDays,
  addMonths,
  civilDateOf,
  epochDayOf as dayOf,
  monthOf,
} from '../../../src/domain/calendar/civil-date.js';
import { civilDateAt, epochDayAt, startOfDay } from '../../../src/domain/calendar/zone.js';
import { ImpossibleValue } from '../../../src/domain/impossible-value.js';
import { refusingInEnglish } from '../../support/refusals-in-english.js';

const epochDayOf = refusingInEnglish(dayOf);

const ZONES = [
  'America/Denver',
  'Europe/Berlin',
  'Pacific/Kiritimati',
  'Pacific/Pago_Pago',
  'Australia/Lord_Howe',
  'Asia/Kathmandu',
  'Africa/Casablanca',
  'America/Sao_Paulo',
  'UTC',
];
const someDay = fc.integer({ min: epochDayOf('1900-01-01'), max: epochDayOf('2199-12-31') });

describe('civil dates', () => {
  // The Gregorian calendar; epoch days of 1970-01-01 and 2000-03-01 from memory of POSIX time,
  // checked by Temporal below.
  it.each([
    ['1970-01-01', 0],
    ['2000-03-01', 11017],
    ['2024-02-29', 19782],
    ['1969-12-31', -1],
  ])('%s is day %d', (date, day) => {
    expect(epochDayOf(date)).toBe(day);
    expect(civilDateOf(day)).toBe(date);
  });

  it('counts days as Temporal does, both ways', () => {
    fc.assert(
      fc.property(someDay, (day) => {
        const expected = Temporal.PlainDate.from('1970-01-01').add({ days: day });
        expect(civilDateOf(day)).toBe(expected.toString());
        expect(epochDayOf(civilDateOf(day))).toBe(day);
        const { month, lastDay } = monthOf(day);
        expect(month).toBe(expected.month);
        expect(civilDateOf(lastDay)).toBe(expected.with({ day: 31 }).toString());
      }),
    );
  });

  it('adds months as Temporal does, the day clamped to the end of the month', () => {
    fc.assert(
      fc.property(someDay, fc.integer({ min: -300, max: 300 }), (day, months) => {
        const date = civilDateOf(day);
        const expected = Temporal.PlainDate.from(date).add({ months }, { overflow: 'constrain' });
        expect(addMonths(date, months)).toBe(expected.toString());
      }),
    );
  });

  // The rule itself: 31 January + 1 month is the last of February.
  it.each([
    ['2023-01-31', 1, '2023-02-28'],
    ['2024-01-31', 1, '2024-02-29'],
    ['2024-02-29', 12, '2025-02-28'],
    ['2024-02-29', 48, '2028-02-29'],
    ['2023-08-31', 6, '2024-02-29'],
    ['2023-12-31', 2, '2024-02-29'],
    ['2023-10-31', -1, '2023-09-30'],
  ])('%s and %d months is %s', (date, months, expected) => {
    expect(addMonths(date, months)).toBe(expected);
  });

  it('adds days over a leap day', () => {
    expect(addDays('2024-02-28', 2)).toBe('2024-03-01');
    expect(addDays('2023-02-28', 1)).toBe('2023-03-01');
  });

  it.each(['2023-02-29', '2023-13-01', '2023-00-10', '2023-04-31', '23-04-01', '2023-4-1', ''])(
    'refuses "%s"',
    (date) => {
      expect(() => epochDayOf(date)).toThrow(/YYYY-MM-DD/);
    },
  );

  it('refuses part of a month', () => {
    expect(() => addMonths('2024-01-01', 1.5)).toThrow(ImpossibleValue);
  });
});

describe('days in a zone', () => {
  it('finds the civil date of any instant in any zone as Temporal does', () => {
    const instants = fc.integer({ min: Date.UTC(1960, 0, 1), max: Date.UTC(2060, 0, 1) });
    fc.assert(
      fc.property(instants, fc.constantFrom(...ZONES), (at, zone) => {
        const expected = Temporal.Instant.fromEpochMilliseconds(at).toZonedDateTimeISO(zone).toPlainDate();
        expect(civilDateAt(at, zone)).toBe(expected.toString());
      }),
      { numRuns: 500 },
    );
  });

  it('is right to the millisecond at a daylight-saving change', () => {
    // America/Denver goes forward on 2026-03-08 at 02:00 (US Energy Policy Act of 2005: second
    // Sunday in March).
    const change = Date.UTC(2026, 2, 8, 9);
    for (const at of [change - 1, change, change + 1])
      expect(civilDateAt(at, 'America/Denver')).toBe('2026-03-08');
    expect(startOfDay('2026-03-08', 'America/Denver')).toBe(Date.UTC(2026, 2, 8, 7));
    expect(startOfDay('2026-03-09', 'America/Denver') - startOfDay('2026-03-08', 'America/Denver')).toBe(
      23 * 3_600_000,
    );
    // Eleven at night, local: still the 7th at standard time, which a wrong offset would make the
    // 8th.
    expect(civilDateAt(Date.UTC(2026, 2, 8, 6, 30), 'America/Denver')).toBe('2026-03-07');
    expect(civilDateAt(Date.UTC(2026, 2, 9, 5, 30), 'America/Denver')).toBe('2026-03-08');
  });

  it('is right before a change when it was first asked at the very change', () => {
    // America/Edmonton, which no other test asks about: forward on 2026-03-08 at 02:00 local time.
    const change = Date.UTC(2026, 2, 8, 9);
    expect(civilDateAt(change, 'America/Edmonton')).toBe('2026-03-08');
    expect(civilDateAt(Date.UTC(2026, 2, 8, 6, 30), 'America/Edmonton')).toBe('2026-03-07');
  });

  it('has two dates at one instant on the two sides of the date line', () => {
    const at = Date.UTC(2026, 0, 1, 10, 30);
    expect(civilDateAt(at, 'Pacific/Kiritimati')).toBe('2026-01-02');
    expect(civilDateAt(at, 'Pacific/Pago_Pago')).toBe('2025-12-31');
  });

  it('starts a day where its first instant is', () => {
    fc.assert(
      fc.property(someDay, fc.constantFrom(...ZONES), (day, zone) => {
        const start = startOfDay(civilDateOf(day), zone);
        expect(epochDayAt(start, zone)).toBe(day);
        expect(epochDayAt(start - 1, zone)).toBe(day - 1);
      }),
    );
  });

  it('takes an instant between two milliseconds, as interpolation gives them', () => {
    expect(civilDateAt(Date.UTC(2026, 0, 1) - 0.25, 'Asia/Tokyo')).toBe('2026-01-01');
    expect(civilDateAt(Date.UTC(2026, 0, 1) - 0.25, 'UTC')).toBe('2025-12-31');
  });

  it('refuses a zone that does not exist', () => {
    expect(() => civilDateAt(0, 'Mars/Olympus')).toThrow(ImpossibleValue);
  });
});
