import { chiSquareTail } from '../statistics/chi-square.js';
import { solveLinear } from '../statistics/linear-equations.js';
import type { Life } from './lives.js';

/** How well a Weibull law agrees with the lives it was fitted to. */
export interface GoodnessOfFit {
  statistic: number;
  degreesOfFreedom: number;
  /** Probability of a statistic at least this large if the law holds. */
  p: number;
  /** Failures up to each bound (the last has none), and as many as the law leads one to expect. */
  cells: { upTo: number; failed: number; expected: number }[];
}

/** Fewer failures tell nothing of the form of a law. Common practice. */
export const LEAST_FAILURES_FOR_FIT = 8;
const FAILURES_PER_CELL = 4;
const MOST_CELLS = 8;

/**
 * χ² test of a fitted Weibull law for lives with censoring and delayed entry: in cells of age of equal expected failures, observed less expected failures (the
 * cumulated hazard of all parts while at risk in the cell), weighed by their covariance with both parameters estimated.
 *
 * With w = shape·ln(t/scale), e the expected failures, r their sum, c the integral of w − w̄ over the expected failures of a cell, and I that of (w − w̄)² over all:
 * V = diag(e) − e·eᵀ/r − c·cᵀ/I, of rank one less than the cells, and X² = (observed − e)ᵀ V⁻ (observed − e).
 *
 * Source: Hjort (1990), Ann. Statist. 18, 1221; the same for censored data in Bagdonavičius, Kruopis & Nikulin, Nonparametric Tests for Censored Data (2011),
 * chapter 2. No simulation is needed for its distribution.
 *
 * @returns null below 8 failures.
 */
export function goodnessOfFit(
  lives: readonly Life[],
  law: { shape: number; scale: number },
): GoodnessOfFit | null {
  const reduced = lives.map(({ age, entry, failed, count }) => ({
    end: law.shape * Math.log(age / law.scale),
    start: law.shape * Math.log(entry / law.scale),
    failed,
    count,
  }));
  const failures = reduced.reduce((sum, { failed, count }) => sum + (failed ? count : 0), 0);
  if (failures < LEAST_FAILURES_FOR_FIT) return null;
  const cells = Math.min(MOST_CELLS, Math.max(3, Math.floor(failures / FAILURES_PER_CELL)));
  const total = expectedIn(reduced, -Infinity, Infinity).expected;
  const bounds = [-Infinity];
  for (let cell = 1; cell < cells; cell++) bounds.push(boundAt(reduced, (total * cell) / cells));
  bounds.push(Infinity);
  const parts = bounds.slice(1).map((to, cell) => expectedIn(reduced, bounds[cell]!, to));
  const mean = parts.reduce((sum, { first }) => sum + first, 0) / total;
  const information = parts.reduce((sum, part) => sum + part.second, 0) - total * mean * mean;
  const expected = parts.map((part) => part.expected);
  const tilted = parts.map(({ first, expected: e }) => first - mean * e);
  const observed = bounds
    .slice(1)
    .map((to, cell) =>
      reduced
        .filter(({ end, failed }) => failed && end > bounds[cell]! && end <= to)
        .reduce((sum, { count }) => sum + count, 0),
    );
  // The cells add up, so one of them is told by the others.
  const size = cells - 1;
  const matrix = Array.from({ length: size }, (_, i) =>
    Array.from(
      { length: size },
      (_unused, j) =>
        (i === j ? expected[i]! : 0) -
        (expected[i]! * expected[j]!) / total -
        (tilted[i]! * tilted[j]!) / information,
    ),
  );
  const excess = observed.map((count, cell) => count - expected[cell]!).slice(0, size);
  const statistic = solveLinear(matrix, excess).reduce((sum, value, cell) => sum + value * excess[cell]!, 0);
  return {
    statistic,
    degreesOfFreedom: size,
    p: chiSquareTail(statistic, size),
    cells: bounds.slice(1).map((to, cell) => ({
      upTo: law.scale * Math.exp(to / law.shape),
      failed: observed[cell]!,
      expected: expected[cell]!,
    })),
  };
}

interface Reduced {
  end: number;
  start: number;
  failed: boolean;
  count: number;
}

/** Expected failures between two reduced ages, and the first and second moment of the reduced age over them. */
function expectedIn(
  lives: readonly Reduced[],
  from: number,
  to: number,
): { expected: number; first: number; second: number } {
  const sums = { expected: 0, first: 0, second: 0 };
  for (const { end, start, count } of lives) {
    const [low, high] = [Math.max(from, start), Math.min(to, end)];
    if (!(high > low)) continue;
    const [hazardLow, hazardHigh] = [Math.exp(low), Math.exp(high)];
    const w = hazardLow === 0 ? 0 : low;
    sums.expected += count * (hazardHigh - hazardLow);
    sums.first += count * (hazardHigh * (high - 1) - hazardLow * (w - 1));
    sums.second += count * (hazardHigh * (high * (high - 2) + 2) - hazardLow * (w * (w - 2) + 2));
  }
  return sums;
}

/** The reduced age up to which so many failures are expected. */
function boundAt(lives: readonly Reduced[], wanted: number): number {
  let [low, high] = [-700, Math.max(...lives.map(({ end }) => end))];
  for (let step = 0; step < 60; step++) {
    const middle = (low + high) / 2;
    if (expectedIn(lives, -Infinity, middle).expected < wanted) low = middle;
    else high = middle;
  }
  return high;
}
