import { quantile } from '../../../src/domain/statistics/quantile.js';

describe('a quantile', () => {
  // NIST/SEMATECH e-Handbook of Statistical Methods, 7.2.6.2: 12 gauge measurements, the 90th
  // percentile is 95.1981; p·(N + 1) = 11.7.
  const MEASUREMENTS = [
    ...[95.1772, 95.1567, 95.1937, 95.1959, 95.1442, 95.061, 95.1591, 95.1195, 95.1065, 95.0925],
    ...[95.199, 95.1682],
  ];

  it('lies between neighbours by their distance', () => {
    expect(quantile(MEASUREMENTS, 0.9)).toBeCloseTo(95.1981, 4);
  });

  it.each([
    [0, 1],
    [0.5, 2.5],
    [1, 4],
  ])('of a share of %d is within the values', (share, expected) => {
    expect(quantile([4, 1, 3, 2], share)).toBe(expected);
  });

  it('refuses an empty list', () => {
    expect(() => quantile([], 0.5)).toThrow(/value/);
  });
});
