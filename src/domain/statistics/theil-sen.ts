import { ImpossibleValue } from '../impossible-value.js';
import { message } from './messages.js';
import { medianOfSorted } from './median.js';
import { normalQuantile } from './normal.js';

export interface TheilSen {
  /** Median of the slopes between all pairs, in units of y per unit of x. */
  slope: number;
  low: number;
  high: number;
}

/**
 * Theil–Sen slope with its confidence limits: a line through a cloud in which up to 29 % of the
 * points may be wild.
 *
 * Source: Sen (1968), J. Amer. Statist. Assoc. 63, 1379: median of the pairwise slopes; limits from
 * the rank of Kendall's S with its variance corrected for ties, normal approximation. Pairs with
 * the same x are left out.
 *
 * @param points any order; x and y in any units.
 * @param confidence two-sided, 0.95 by default.
 * @throws ImpossibleValue when fewer than two different x are given.
 * @example theilSen([{ x: 1, y: 5 }, { x: 2, y: 6 }, { x: 3, y: 11 }, { x: 4, y: 8 }, { x: 5, y: 10 }]).slope // 1.125
 */
export function theilSen(points: readonly { x: number; y: number }[], confidence = 0.95): TheilSen {
  const n = points.length;
  const slopes = pairwiseSlopes(points);
  const count = slopes.length;
  if (count === 0) {
    const detail = message('slope-needs-two-places');
    throw new ImpossibleValue({ field: 'points', value: n, limit: { min: 2 }, detail });
  }
  const ties = tieTerm(points.map((point) => point.x)) + tieTerm(points.map((point) => point.y));
  const sigma = Math.sqrt((n * (n - 1) * (2 * n + 5) - ties) / 18);
  const z = normalQuantile((1 + confidence) / 2);
  const lowRank = Math.max(Math.round((count - z * sigma) / 2) - 1, 0);
  const highRank = Math.min(Math.round((count + z * sigma) / 2), count - 1);
  return { slope: medianOfSorted(slopes), low: slopes[lowRank]!, high: slopes[highRank]! };
}

/** The slopes between all pairs of points at different places, ascending. */
export function pairwiseSlopes(points: readonly { x: number; y: number }[]): Float64Array {
  const n = points.length;
  const slopes = new Float64Array((n * (n - 1)) / 2);
  let count = 0;
  for (let i = 0; i < n; i++) {
    const { x, y } = points[i]!;
    for (let j = i + 1; j < n; j++) {
      const dx = points[j]!.x - x;
      if (dx !== 0) slopes[count++] = (points[j]!.y - y) / dx;
    }
  }
  return slopes.subarray(0, count).sort();
}

/**
 * Σ t(t − 1)(2t + 5) over the groups of equal values: the correction for ties in the variance of
 * Kendall's S.
 */
export function tieTerm(values: readonly number[]): number {
  const sorted = Float64Array.from(values).sort();
  let sum = 0;
  for (let start = 0; start < sorted.length;) {
    let end = start + 1;
    while (end < sorted.length && sorted[end] === sorted[start]) end++;
    const t = end - start;
    sum += t * (t - 1) * (2 * t + 5);
    start = end;
  }
  return sum;
}
