import fc from 'fast-check';
import { dateIn, instantIn, numberIn } from '../../src/platform/csv/cells.js';
import { matchHeader } from '../../src/platform/csv/columns.js';
import { delimiterOf } from '../../src/platform/csv/csv-rows.js';
import { csvLine, guarded, unguarded } from '../../src/platform/csv/csv-text.js';
import { nearest } from '../../src/platform/csv/nearest.js';

describe('a cell', () => {
  it.each([
    ['61250', ',', 61250],
    ['61250.5', ',', 61250.5],
    ['-31', ',', -31],
    ['12.345', ',', 12.345],
    ['61250,5', ';', 61250.5],
    ['61250.5', ';', 61250.5],
    ['61,250', ';', 61.25],
    ['61250,5', '\t', 61250.5],
    ['0.125', ';', 0.125],
  ] as const)('reads the number %s of a file with "%s" between its cells', (text, delimiter, value) => {
    expect(numberIn(text, delimiter)).toEqual({ value });
  });

  it.each([
    ['61,250', ',', /without thousands separators/],
    ['61250,5', ',', /with a decimal point/],
    ['61.250', ';', /may mean 61250 or 61.25/],
    ['61,250', '\t', /may mean 61250 or 61.25/],
    ['1.061.250,5', ';', /without thousands separators/],
    ['61 250', ';', /without thousands separators/],
    ['6.1E+04', ',', /a number is needed/],
    ['Infinity', ',', /a number is needed/],
    ['0x10', ',', /a number is needed/],
    ['12 mi', ',', /a number is needed/],
    ['', ',', /a number is needed/],
  ] as const)('does not guess what %s means between "%s"', (text, delimiter, why) => {
    expect(numberIn(text, delimiter)).toEqual({ fault: expect.stringMatching(why) });
  });

  it.each([
    ['2026-04-02', '2026-04-02'],
    [' 2026-04-02 00:00:00 ', '2026-04-02'],
  ])('reads the day %s', (text, value) => expect(dateIn(text)).toEqual({ value }));

  it.each(['4/2/2026', '02.04.2026', '2026-02-30', '46114', '2026-04-02 07:30', '1799-01-01'])(
    'does not take %s for a day',
    (text) => expect(dateIn(text)).toEqual({ fault: expect.any(String) }),
  );

  // Clock changes in Denver on 8 March and 1 November 2026: tz database.
  it.each([
    ['2026-04-02 07:31', '2026-04-02T13:31:00Z'],
    ['2026-04-02T7:31:05', '2026-04-02T13:31:05Z'],
    ['2026-04-02', '2026-04-02T18:00:00.000Z'],
    ['2026-04-02T07:31:00-06:00', '2026-04-02T07:31:00-06:00'],
  ])('reads the time %s in Denver', (text, value) =>
    expect(instantIn(text, 'America/Denver')).toEqual({ value }),
  );

  it.each(['2026-03-08 02:30', '2026-11-01 01:30', '2026-04-02 25:00', '2026-04-31 07:00', 'noon'])(
    'does not take %s for a time in Denver',
    (text) => expect(instantIn(text, 'America/Denver')).toEqual({ fault: expect.any(String) }),
  );
});

describe('what is written', () => {
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

  it('comes back whatever it is, and never begins a formula', () => {
    const tricky = fc.string({ unit: fc.constantFrom("'", '=', '-', '\t', '\r', '\n', 'a', '"', ',', '＝') });
    fc.assert(
      fc.property(fc.oneof(tricky, fc.string()), (text) => {
        expect(unguarded(guarded(text))).toBe(text);
        expect(guarded(text)).not.toMatch(/^[=+\-@\t\r\n＝＋－＠]/);
      }),
    );
  });

  it('leaves numbers numbers, without an exponent and what binary fractions add', () => {
    expect(csvLine([-30, 0.1 + 0.2, 1e-12, 1e9, null, true, 61250 * 1.609344])).toBe(
      '-30,0.3,0,1000000000,,true,98572.32\r\n',
    );
  });
});

describe('a header', () => {
  const set = {
    columns: [
      { name: 'unitNumber', aliases: ['unit'] },
      { name: 'odometer', measure: 'distance' as const },
      { name: 'make' },
      { name: 'id', leftOut: 'ids are given here' },
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
  ])('reads the unit off "%s", or takes the fleet\'s', (header, unit) => {
    const { columns, faults } = matchHeader(['unit', header], set, 'us');
    expect(faults).toEqual([]);
    expect(columns[1]).toEqual({ header, column: 'odometer', index: 1, unit });
  });

  it('names what is missing, twice, unknown or in no unit of its kind', () => {
    const { faults, notices } = matchHeader(
      ['odometer (psi)', 'mak', 'Driver', 'make (km)', 'id', ''],
      set,
      'us',
    );
    expect(faults.map(({ column, detail }) => [column, detail])).toEqual([
      ['odometer (psi)', expect.stringContaining('accepted here are mm, in, ft, m, km, mi')],
      ['make (km)', 'names a unit, km, where there is none'],
      ['mak', 'is not known here; was make meant? Rename it, or take it out'],
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
  ])('tells the delimiter of %j', (start, delimiter) => expect(delimiterOf(start)).toBe(delimiter));
});

describe('a slip', () => {
  it.each([
    ['waterpump', 'water-pump'],
    ['tensionner', 'tensioner'],
    ['driver', null],
    ['', null],
  ])('%s stands for %s', (word, meant) => {
    expect(nearest(word, ['water-pump', 'tensioner', 'other', 'idler'])).toBe(meant);
  });
});
