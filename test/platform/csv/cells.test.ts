import fc from 'fast-check';
import { matchHeader as match } from '../../../src/platform/csv/columns.js';
import { delimiterOf } from '../../../src/platform/csv/raw-rows.js';
import { csvLine, guarded, unguarded } from '../../../src/platform/csv/csv-text.js';
import { dateIn as readDate, instantIn as readInstant } from '../../../src/platform/csv/date-cells.js';
import { nearest } from '../../../src/platform/csv/nearest.js';
import { numberIn as readNumber } from '../../../src/platform/csv/number-cells.js';
import { dateOrderOf } from '../../../src/domain/spreadsheets/dates.js';
import { decimalMarkOf } from '../../../src/domain/spreadsheets/numbers.js';
import { message } from '../../../src/register/vehicles/messages.js';
import { faultsInEnglish, readInEnglish } from '../../support/told.js';

const numberIn = (...cell: Parameters<typeof readNumber>) => readInEnglish(readNumber(...cell));
const dateIn = (...cell: Parameters<typeof readDate>) => readInEnglish(readDate(...cell));
const instantIn = (...cell: Parameters<typeof readInstant>) => readInEnglish(readInstant(...cell));

function matchHeader(...header: Parameters<typeof match>) {
  const { columns, faults, notices } = match(...header);
  return { columns, faults: faultsInEnglish(faults), notices: faultsInEnglish(notices) };
}

describe('a cell', () => {
  // Text, its value with a decimal point, its value with a decimal comma; null: not a number in
  // that notation.
  it.each([
    ['61250', 61250, 61250],
    ['-31', -31, -31],
    ['+12', 12, 12],
    ['\u221231', -31, -31],
    ['81,370', 81370, 81.37],
    ['81.370', 81.37, 81370],
    ['-1,234', -1234, -1.234],
    ['081,370', 81370, 81.37],
    ['81,370.5', 81370.5, null],
    ['81.370,5', null, 81370.5],
    ['1,234,567', 1234567, null],
    ['1.234.567', null, 1234567],
    ['12,5', null, 12.5],
    ['0.75', 0.75, null],
    ['.5', 0.5, null],
    ['0,370', null, 0.37],
    ['-0,370', null, -0.37],
    ['8137,000', null, 8137],
    ['81,3700', null, 81.37],
    ['81 370', 81370, 81370],
    ['81\u00a0370', 81370, 81370],
    ['81\u202f370,5', null, 81370.5],
    ["81'370", 81370, 81370],
    ['81\u2019370.25', 81370.25, null],
    ["1'081,370", null, 1081.37],
  ])('is %s: %p with a decimal point, %p with a decimal comma', (text, point, comma) => {
    const read = (value: number | null) =>
      value === null ? { fault: expect.stringMatching(/not a number with a decimal/) } : { value };
    expect([numberIn(text, 'point'), numberIn(text, 'comma')]).toEqual([read(point), read(comma)]);
    expect(decimalMarkOf(text)).toBe(point === null ? 'comma' : comma === null ? 'point' : null);
    const isDoubtful = point !== null && comma !== null && point !== comma;
    expect(numberIn(text, null)).toEqual(
      isDoubtful ? { fault: expect.stringContaining(`${point}`) } : { value: point ?? comma },
    );
  });

  it('that could be read two ways is refused with both readings and what to do', () => {
    expect(numberIn('81,370', null)).toEqual({
      fault:
        'is "81,370", which may mean 81370 (thousands comma) or 81.37 (decimal comma), and no other number of the file tells which. ' +
        'Write 81370 or 81,3700, or send the file with ?decimal=point, which makes it 81370, or ?decimal=comma, which makes it 81.37',
    });
    expect(numberIn('81.370', null)).toEqual({
      fault: expect.stringContaining('81370 (thousands point) or 81.37 (decimal point)'),
    });
  });

  it.each([
    ['6.1E+04', /without an exponent/],
    ['50%', /percent/],
    ['12 mi', /unit into the header/],
    ['Infinity', /a number is needed/],
    ['9'.repeat(400), /a number is needed/],
    ['0x10', /a number is needed/],
    ['1,23,456', /a number is needed/],
    ['81,370.', /a number is needed/],
    ['0 370', /a number is needed/],
    ['81  370', /a number is needed/],
    ['(12)', /a number is needed/],
    ['12-', /a number is needed/],
    ['', /a number is needed/],
  ])('%s is never taken for a number, whatever the file says', (text, why) => {
    for (const mark of ['point', 'comma', null] as const)
      expect(numberIn(text, mark)).toEqual({ fault: expect.stringMatching(why) });
    expect(decimalMarkOf(text)).toBeNull();
  });

  it('is read or refused quickly even if it is long', () => {
    const long = 60_000;
    for (const text of [
      `1${' '.repeat(long)}!`,
      `1${',111'.repeat(long / 4)}x`,
      '1'.repeat(long),
      `1${'.'.repeat(long)}`,
    ])
      expect(decimalMarkOf(text)).toBeNull();
    expect(numberIn(`1${' '.repeat(long)}!`, null)).toHaveProperty('fault');
  });

  it.each([
    ['2026-04-02', '2026-04-02'],
    [' 2026-04-02 00:00:00 ', '2026-04-02'],
  ])('reads the day %s', (text, value) => expect(dateIn(text, null)).toEqual({ value }));

  // Text, the date with the day first, the date with the month first; null: not a date in that
  // order.
  it.each([
    ['3/14/2021', null, '2021-03-14'],
    ['14/3/2021', '2021-03-14', null],
    ['14.03.2021', '2021-03-14', null],
    ['3/4/2021', '2021-04-03', '2021-03-04'],
    ['3-4-2021 0:00', '2021-04-03', '2021-03-04'],
    ['3/3/2021', '2021-03-03', '2021-03-03'],
    ['29/2/2020', '2020-02-29', null],
  ])('is %s: %p with the day first, %p with the month first', (text, day, month) => {
    const read = (value: string | null) =>
      value === null ? { fault: expect.stringMatching(/not a date with the/) } : { value };
    expect([dateIn(text, 'day-first'), dateIn(text, 'month-first')]).toEqual([read(day), read(month)]);
    expect(dateOrderOf(text)).toBe(day === null ? 'month-first' : month === null ? 'day-first' : null);
    expect(dateIn(text, null)).toEqual(
      day !== null && month !== null && day !== month
        ? { fault: expect.stringMatching(`cannot be told apart: ${day} .*${month} .*dateOrder=`) }
        : { value: day ?? month },
    );
  });

  it.each([
    '30/2/2021',
    '29/2/2021',
    '2/31/2021',
    '13/13/2021',
    '3/4/21',
    '3/4-2021',
    '2026-02-30',
    '46114',
    '2026-04-02 07:30',
    '1799-01-01',
    '14/3/1799',
  ])('%s is not taken for a day', (text) => {
    for (const order of ['day-first', 'month-first', null] as const)
      expect(dateIn(text, order)).toEqual({ fault: expect.any(String) });
  });

  // Clock changes in Denver on 8 March and 1 November 2026: tz database.
  it.each([
    ['2026-04-02 07:31', '2026-04-02T13:31:00Z'],
    ['2026-04-02T7:31:05', '2026-04-02T13:31:05Z'],
    ['2026-04-02', '2026-04-02T18:00:00.000Z'],
    ['2026-04-02T07:31:00-06:00', '2026-04-02T07:31:00-06:00'],
    ['4/22/2026 7:31', '2026-04-22T13:31:00Z'],
    ['22.4.2026', '2026-04-22T18:00:00.000Z'],
  ])('reads the time %s in Denver', (text, value) =>
    expect(instantIn(text, 'America/Denver', null)).toEqual({ value }),
  );

  it('has its day and month in the order of the file', () => {
    expect(instantIn('4/2/2026 07:31', 'America/Denver', 'month-first')).toEqual({
      value: '2026-04-02T13:31:00Z',
    });
    expect(instantIn('2/4/2026 07:31', 'America/Denver', 'day-first')).toEqual({
      value: '2026-04-02T13:31:00Z',
    });
    expect(dateOrderOf('4/22/2026 07:31')).toBe('month-first');
  });

  it.each([
    '2026-03-08 02:30',
    '2026-11-01 01:30',
    '2026-04-02 25:00',
    '2026-04-31 07:00',
    '4/2/2026 07:31',
    'noon',
  ])('%s is not taken for a time in Denver', (text) =>
    expect(instantIn(text, 'America/Denver', null)).toEqual({ fault: expect.any(String) }),
  );
});

describe('an exported text', () => {
  it.each([
    ['=1+1', "'=1+1"],
    ['+49', "'+49"],
    ['-12', "'-12"],
    ['@x', "'@x"],
    ['\tx', "'\tx"],
    ['\rx', "'\rx"],
    ['＝1', "'＝1"],
    ["'=1", "''=1"],
    ["'n Fahrzeug", "'n Fahrzeug"],
    ['R-114', 'R-114'],
  ])('guards %j as %j', (text, written) => expect(guarded(text)).toBe(written));

  it('can be imported unchanged, and never begins like a formula', () => {
    const tricky = fc.string({ unit: fc.constantFrom("'", '=', '-', '\t', '\r', '\n', 'a', '"', ',', '＝') });
    fc.assert(
      fc.property(fc.oneof(tricky, fc.string()), (text) => {
        expect(unguarded(guarded(text))).toBe(text);
        expect(guarded(text)).not.toMatch(/^[=+\-@\t\r\n＝＋－＠]/);
      }),
    );
  });

  it('leaves numbers as numbers, without an exponent or binary fractions', () => {
    expect(csvLine([-30, 0.1 + 0.2, 1e-12, 1e9, null, true, 61250 * 1.609344])).toBe(
      '-30,0.3,0,1000000000,,true,98572.32\r\n',
    );
    // 12.345 gets a fourth decimal, because in some countries it would be read as twelve thousand.
    expect(csvLine([12.345, -981.125, 0.125, 1234.125])).toBe('12.3450,-981.1250,0.125,1234.125\r\n');
  });
});

describe('a header', () => {
  const set = {
    columns: [
      { name: 'unitNumber', aliases: ['unit'] },
      { name: 'odometer', measure: 'distance' as const },
      { name: 'make' },
      { name: 'id', leftOut: message('column-id-given-here') },
    ],
    required: [['unitNumber']],
  };

  it.each([
    ['odometer', 'mi'],
    ['ODOMETER (km)', 'km'],
    ['odometer [Miles]', 'mi'],
    ['odometerKm', 'km'],
    ['odometer_km', 'km'],
    ['Odometer mi', 'mi'],
  ])('gives the unit in "%s", or the fleet’s', (header, unit) => {
    const { columns, faults } = matchHeader(['unit', header], set, 'us');
    expect(faults).toEqual([]);
    expect(columns[1]).toEqual({ header, column: 'odometer', index: 1, unit, holds: 'number' });
  });

  it('names columns that are missing, doubled, unknown or in a wrong unit', () => {
    const { faults, notices } = matchHeader(
      ['odometer (psi)', 'mak', 'Driver', 'make (km)', 'id', ''],
      set,
      'us',
    );
    expect(faults.map(({ column, detail }) => [column, detail])).toEqual([
      ['odometer (psi)', expect.stringContaining('accepted here are mm, in, ft, m, km and mi')],
      ['make (km)', 'names a unit, km, where there is none'],
      ['mak', 'is not known here; did you mean make? Rename it, or take it out'],
      ['unitNumber', 'is missing: a column unitNumber is needed'],
    ]);
    expect(notices).toEqual([
      { column: 'id', detail: 'was left out: ids are given here' },
      { column: 'Driver', detail: 'is not known here and was left out' },
    ]);
    const twice = matchHeader(['unit', 'unit number'], set, 'us');
    expect(twice.faults).toEqual([
      expect.objectContaining({
        column: 'unit number',
        detail: expect.stringContaining('as "unit" does already'),
      }),
    ]);
  });

  it.each([
    ['a,b;c,d', ','],
    ['a;b;"c,d,e,f"', ';'],
    ['a\tb,c\td', '\t'],
    ['a', ','],
    ['sep=;\r\na,b,c', ';'],
  ])('shows the delimiter of %j', (start, delimiter) => expect(delimiterOf(start)).toBe(delimiter));
});

describe('a misspelt name', () => {
  it.each([
    ['waterpump', 'water-pump'],
    ['tensionner', 'tensioner'],
    ['driver', null],
    ['', null],
  ])('%s is recognised as %s', (word, meant) => {
    expect(nearest(word, ['water-pump', 'tensioner', 'other', 'idler'])).toBe(meant);
  });
});
