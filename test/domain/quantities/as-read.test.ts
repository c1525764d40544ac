import fc from 'fast-check';
import { quantityAsRead } from '../../../src/domain/quantities/as-read.js';
import { inSystem } from '../../../src/domain/quantities/measures.js';

describe('a number as a bay reads it', () => {
  // The marks on a jug, a gauge, a thermometer: common practice, no source. Conversions: NIST SP
  // 811, by hand beside each.
  it.each([
    ['volume', 9.5, 'us', '10 qt'], // 10.04
    ['volume', 4.75, 'us', '5 qt'], // 5.02
    ['volume', 7, 'us', '7.5 qt'], // 7.40
    ['volume', 0.1, 'us', '< 0.5 qt'],
    ['volume', 0, 'us', '0 qt'],
    ['volume', -1, 'us', '−1 qt'],
    ['volume', 4.75, 'si', '4.8 L'],
    ['vacuum', 64.9997, 'us', '19 inHg'], // 19.19
    ['pressure', 110.316, 'us', '16 psi'],
    ['pressure', 110.316, 'si', '110 kPa'],
    ['pressure', 3.386, 'si', '3.4 kPa'],
    ['temperature', 129.24, 'us', '265 °F'], // 264.6
    ['temperature', -0.2, 'si', '0 °C'],
    ['torque', 11, 'us', '8.1 lbf·ft'],
    ['torque', 150.4, 'si', '150 N·m'],
    ['distance', 98_572, 'us', '61,250 mi'],
    ['elevation', 1500, 'us', '4,921 ft'],
    ['size', 1880, 'us', '74 in'],
  ] as const)('says %s %d in %s as %s', (kind, value, units, words) => {
    expect(quantityAsRead(inSystem(kind, value, units))).toBe(words);
  });

  it('is rounded down for what a gauge must show, and a mark that is met stays met', () => {
    expect(quantityAsRead({ value: 24.97, unit: 'inHg' })).toBe('25 inHg');
    expect(quantityAsRead({ value: 24.97, unit: 'inHg' }, 'down')).toBe('24.5 inHg');
    expect(quantityAsRead({ value: 22.9999999999, unit: 'inHg' }, 'down')).toBe('23 inHg');
  });

  it('is written as the reader’s language writes numbers', () => {
    const german = new Intl.NumberFormat('de-DE');
    const inGerman = (value: number) =>
      quantityAsRead(
        { value, unit: 'qt' },
        'nearest',
        (amount) => `unter ${amount}`,
        (number) => german.format(number),
      );
    expect([12_345.5, 7.5, 0.1].map(inGerman)).toEqual(['12.346 qt', '7,5 qt', 'unter 0,5 qt']);
  });

  it('lies within half a division of the value, in quarts to the half', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.5, max: 200, noNaN: true }), (value) => {
        const said = Number(quantityAsRead({ value, unit: 'qt' }).replace(' qt', ''));
        expect(Math.abs(said - value)).toBeLessThanOrEqual(value >= 100 ? 0.5 : 0.25 + 1e-9);
        expect((said * 2) % 1).toBe(0);
      }),
    );
  });
});
