import { cusumLimit, cusumRunLength } from '../../../src/domain/statistics/cusum-limit.js';

describe('the run length of a CUSUM', () => {
  // NIST/SEMATECH e-Handbook 6.3.2.3.1, table for k = 0.5, no shift: 336 at h = 4, 930 at h = 5 (from memory, checked by the two-sided 168 and 465 of
  // Montgomery, Introduction to Statistical Quality Control, which are half of them). Siegmund's approximation lies within 2 %.
  it.each([
    [4, 336],
    [5, 930],
  ])('is near the tabulated one at h = %d: %d', (limit, tabulated) => {
    expect(Math.abs(cusumRunLength(0.5, limit) / tabulated - 1)).toBeLessThan(0.02);
  });
  // Montgomery's worked example of Siegmund's approximation: k = 0.5, h = 5, one side 938.2 (from memory, checked by hand: (e^6.166 − 7.166)/0.5).
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
