import fc from 'fast-check';
import {
  dateOfSerial,
  dateReadings,
  isDateUnclear,
  namedDate,
} from '../../../src/domain/spreadsheets/dates.js';
import { decimalMarkOf, measuredIn, numberReadings } from '../../../src/domain/spreadsheets/numbers.js';
import { columnIndex, columnName, plainNumber } from '../../../src/domain/spreadsheets/sheet.js';

describe('a day as a spreadsheet keeps it', () => {
  it.each([
    // ECMA-376 part 1, 18.17.4.1: 1 is 1900-01-01, and 2958465 is 9999-12-31.
    [1, '1900-01-01'],
    [59, '1900-02-28'],
    // There was no 29 February 1900.
    [60, null],
    [61, '1900-03-01'],
    [2_958_465, '9999-12-31'],
    [2_958_466, null],
    [0, null],
    [-1, null],
    [Number.NaN, null],
    [Number.POSITIVE_INFINITY, null],
    // Counted by hand: 121 years and 31 leap days after 1899-12-31, and the year's 73rd day.
    [44_269, '2021-03-14'],
    [44_269.5, '2021-03-14 12:00'],
    [44_269.313_206_02, '2021-03-14 07:31:01'],
    // Less than half a second before midnight is midnight.
    [44_269.999_999, '2021-03-15'],
  ])('reads %d as %s', (serial, date) => expect(dateOfSerial(serial)).toBe(date));

  it('counts from 1904 where the file says so', () => {
    expect(dateOfSerial(0, true)).toBe('1904-01-01');
    expect(dateOfSerial(42_807, true)).toBe('2021-03-14');
  });

  it('comes back as it was counted', () => {
    const first = Date.UTC(1900, 2, 1);
    fc.assert(
      fc.property(fc.integer({ min: 61, max: 2_958_465 }), (serial) => {
        const date = new Date(first + (serial - 61) * 86_400_000).toISOString().slice(0, 10);
        expect(dateOfSerial(serial)).toBe(date);
      }),
    );
  });
});

describe('a date in words or by the year at its end', () => {
  it.each([
    ['14-Mar-2021', '2021-03-14'],
    ['Mar 14, 2021', '2021-03-14'],
    ['March 3rd, 2021', '2021-03-03'],
    ['14 de marzo de 2021', '2021-03-14'],
    ['1 ene 2022', '2022-01-01'],
    ['5 set. 2022', '2022-09-05'],
    ['31 feb 2021', null],
    ['14-Foo-2021', null],
    ['14-Mar-21', null],
    ['R-114', null],
  ])('%s is %s', (text, date) => expect(namedDate(text)).toBe(date));

  it.each([
    ['3/14/2021 7:31 PM', '19:31'],
    ['3/14/2021 12:05 a. m.', '00:05'],
    ['3/14/2021 12:05 p.m.', '12:05'],
    ['3/14/2021 13:05', '13:05'],
    ['3/14/2021', undefined],
  ])('%s has the time %s', (text, time) =>
    expect(dateReadings(text)).toEqual({ 'day-first': null, 'month-first': '2021-03-14', time }),
  );

  it.each([
    ['3/4/2025', true],
    ['3/3/2025', false],
    ['3/14/2025', false],
    ['2025-03-04', false],
  ])('%s is unclear: %s', (text, isUnclear) => expect(isDateUnclear(text)).toBe(isUnclear));
});

describe('a number with its unit', () => {
  it.each([
    ['120300 km', '120300', 'km'],
    ['81,370 mi.', '81,370', 'mi'],
    ['120.300KM', '120.300', 'km'],
    ['81.370,5 Millas', '81.370,5', 'mi'],
    ['120300', '120300', null],
    ['about 5 km', 'about 5', 'km'],
    ['120300 psi', '120300 psi', null],
    ['12 m', '12', 'm'],
    ['', '', null],
  ])('%j is %j in %s', (text, number, unit) => expect(measuredIn(text, 'length')).toEqual({ number, unit }));

  it('comes back as it was written, with each mark for thousands and decimals', () => {
    const styles = [
      { locale: 'en-US', mark: 'point' },
      { locale: 'de-DE', mark: 'comma' },
      { locale: 'fr-FR', mark: 'comma' },
      { locale: 'de-CH', mark: 'point' },
    ] as const;
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 99_999_999 }),
        fc.integer({ min: 0, max: 9 }),
        fc.constantFrom(...styles),
        (whole, tenth, { locale, mark }) => {
          const value = whole + tenth / 10;
          const text = value.toLocaleString(locale);
          expect(numberReadings(text)[mark]).toBe(value);
          const only = decimalMarkOf(text);
          if (only !== null) expect(only).toBe(mark);
          expect(measuredIn(`${text} km`, 'length')).toEqual({ number: text, unit: 'km' });
        },
      ),
    );
  });

  it('is written plainly, and comes back', () => {
    expect(plainNumber(1e21)).toBe('1000000000000000000000');
    expect(plainNumber(-0)).toBe('0');
    fc.assert(
      fc.property(fc.double({ min: -1e15, max: 1e15, noNaN: true }), (value) => {
        const near = Number(plainNumber(value));
        expect(Math.abs(near - value)).toBeLessThanOrEqual(1e-15);
      }),
    );
  });
});

describe('the letters of a column', () => {
  it.each([
    [0, 'A'],
    [25, 'Z'],
    [26, 'AA'],
    [701, 'ZZ'],
    [702, 'AAA'],
    [16_383, 'XFD'],
  ])('%d is %s', (index, name) => {
    expect(columnName(index)).toBe(name);
    expect(columnIndex(name.toLowerCase())).toBe(index);
  });

  it.each(['', '1', 'A1', 'ABCD', 'Ä'])('are not %j', (name) => expect(columnIndex(name)).toBeNull());
});
