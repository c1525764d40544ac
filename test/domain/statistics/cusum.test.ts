import {
  cusumLimit as limitOf,
  cusumRunLength as runLengthOf,
  nextCusum,
} from '../../../src/domain/statistics/cusum.js';
import { refusingInEnglish } from '../../support/refusals-in-english.js';
import { referenceRows } from './reference-data.js';

const cusumLimit = refusingInEnglish(limitOf);
const cusumRunLength = refusingInEnglish(runLengthOf);

describe('the tabular CUSUM', () => {
  // NIST/SEMATECH e-Handbook 6.3.2.3: target 325, k 0.3175, h 4.1959; both sums from the published
  // table, first signal at group 14.
  it('runs through the sums of the published example, above and below, signalling first at group 14', () => {
    let [high, low] = [0, 0];
    const signals: number[] = [];
    const rows = referenceRows('cusum.csv');
    for (const [index, row] of rows.entries()) {
      high = nextCusum(high, row.x! - 325, 0.3175);
      low = nextCusum(low, 325 - row.x!, 0.3175);
      expect(high).toBeCloseTo(row.calc_S_hi!, 5);
      expect(low).toBeCloseTo(row.calc_S_lo!, 5);
      if (Math.max(high, low) > 4.1959) signals.push(index + 1);
    }
    expect(rows).toHaveLength(20);
    expect(signals[0]).toBe(14);
  });
});

describe('the run length of a CUSUM', () => {
  // NIST/SEMATECH e-Handbook 6.3.2.3.1, table for k = 0.5, no shift: 336 at h = 4, 930 at h = 5
  // (from memory, checked by the two-sided 168 and 465 of Montgomery, Introduction to Statistical
  // Quality Control, which are half of them). Siegmund's approximation lies within 2 %.
  it.each([
    [4, 336],
    [5, 930],
  ])('is near the tabulated one at h = %d: %d', (limit, tabulated) => {
    expect(Math.abs(cusumRunLength(0.5, limit) / tabulated - 1)).toBeLessThan(0.02);
  });
  // Montgomery's worked example of Siegmund's approximation: k = 0.5, h = 5, one side 938.2 (from
  // memory, checked by hand: (e^6.166 − 7.166)/0.5).
  it('is that of the worked example', () => {
    expect(cusumRunLength(0.5, 5)).toBeCloseTo(938.2, 1);
  });
  it('gives back the limit it was reckoned from', () => {
    for (const limit of [0.5, 2.55, 5, 9])
      expect(cusumLimit(1.25, cusumRunLength(1.25, limit))).toBeCloseTo(limit, 6);
  });
  it('is reached without any sum where it is short', () => {
    expect(cusumLimit(1.25, 2)).toBe(0);
  });
  it('refuses what cannot be', () => {
    expect(() => cusumRunLength(0, 4)).toThrow('slack of 0');
    expect(() => cusumRunLength(0.5, -1)).toThrow('limit of -1');
    expect(() => cusumLimit(0.5, Infinity)).toThrow('a run of Infinity');
  });
});
