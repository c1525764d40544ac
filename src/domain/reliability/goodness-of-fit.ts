import { chiSquareTail } from '../statistics/chi-square.js';
import { solveLinear } from '../statistics/linear-equations.js';
import type { Life } from './lives.js';

/** How well a Weibull law agrees with the lives it was fitted to. */
export interface GoodnessOfFit {
  statistic: number;
  degreesOfFreedom: number;
  /** Probability of a statistic at least this large if the law holds. */
  p: number;
  /**
   * Failures up to each bound (the last has none), observed and as expected from the distribution.
   */
  cells: { upTo: number; failed: number; expected: number }[];
}

/** Fewer failures say nothing about the form of a distribution. Common practice. */
const LEAST_FAILURES_FOR_FIT = 8;
const FAILURES_PER_CELL = 4;
const MOST_CELLS = 8;

/**
 * χ² test of a fitted Weibull law for lives with censoring and delayed entry: in cells of age of
 * equal expected failures, observed less expected failures (the cumulated hazard of all parts while
 * at risk in the cell), weighed by their covariance with both parameters estimated.
 *
 * With w = shape·ln(t/scale), e the expected failures, r their sum, c the integral of w − w̄ over
 * the expected failures of a cell, and I that of (w − w̄)² over all: V = diag(e) − e·eᵀ/r − c·cᵀ/I,
 * of rank one less than the cells, and X² = (observed − e)ᵀ V⁻ (observed − e).
 *
 * Source: Hjort (1990), Ann. Statist. 18, 1221; the same for censored data in Bagdonavičius,
 * Kruopis & Nikulin, Nonparametric Tests for Censored Data (2011), chapter 2. No simulation is
 * needed for its distribution.
 *
 * @returns null below 8 failures.
 */
export function goodnessOfFit(
  lives: readonly Life[],
  law: { shape: number; scale: number },
): GoodnessOfFit | null {
  const reduced = lives.map(({ age, entry, ...life }): Reduced => ({
    ...life,
    end: law.shape * Math.log(age / law.scale),
    start: law.shape * Math.log(entry / law.scale),
  }));
  const failures = reduced.reduce((sum, life) => sum + (life.failed ? life.count : 0), 0);
  if (failures < LEAST_FAILURES_FOR_FIT) return null;
  const count = Math.min(MOST_CELLS, Math.max(3, Math.floor(failures / FAILURES_PER_CELL)));
  const total = expectedIn(reduced, -Infinity, Infinity).expected;
  const cells = cellsOf(reduced, total, count);
  // The cells add up, so one of them follows from the others.
  const size = count - 1;
  const excess = cells.map(({ observed, expected }) => observed - expected).slice(0, size);
  const statistic = solveLinear(covarianceOf(cells, total, size), excess).reduce(
    (sum, value, cell) => sum + value * excess[cell]!,
    0,
  );
  return {
    statistic,
    degreesOfFreedom: size,
    p: chiSquareTail(statistic, size),
    cells: cells.map(({ to, observed, expected }) => ({
      upTo: law.scale * Math.exp(to / law.shape),
      failed: observed,
      expected,
    })),
  };
}

/**
 * A cell of reduced ages: what failed in it, and what is expected to, with the moments of the
 * reduced age over that.
 */
interface Cell extends Moments {
  to: number;
  observed: number;
}

/** Cells of equal expected failures. */
function cellsOf(lives: readonly Reduced[], total: number, count: number): Cell[] {
  const bounds = [-Infinity];
  for (let cell = 1; cell < count; cell++) bounds.push(boundAt(lives, (total * cell) / count));
  bounds.push(Infinity);
  return bounds.slice(1).map((to, cell) => {
    const from = bounds[cell]!;
    const observed = lives
      .filter(({ end, failed }) => failed && end > from && end <= to)
      .reduce((sum, life) => sum + life.count, 0);
    return { ...expectedIn(lives, from, to), to, observed };
  });
}

/** V of the first cells, both parameters of the law estimated. */
function covarianceOf(cells: readonly Cell[], total: number, size: number): number[][] {
  const mean = cells.reduce((sum, { first }) => sum + first, 0) / total;
  const information = cells.reduce((sum, { second }) => sum + second, 0) - total * mean * mean;
  const expected = cells.map((cell) => cell.expected);
  const tilted = cells.map((cell) => cell.first - mean * cell.expected);
  return Array.from({ length: size }, (_, i) =>
    Array.from(
      { length: size },
      (_unused, j) =>
        (i === j ? expected[i]! : 0) -
        (expected[i]! * expected[j]!) / total -
        (tilted[i]! * tilted[j]!) / information,
    ),
  );
}

interface Reduced {
  end: number;
  start: number;
  failed: boolean;
  count: number;
}

/** Expected failures, and the first and second moment of the reduced age over them. */
interface Moments {
  expected: number;
  first: number;
  second: number;
}

/** What is expected between two reduced ages. */
function expectedIn(lives: readonly Reduced[], from: number, to: number): Moments {
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

/** The reduced age up to which this many failures are expected. */
function boundAt(lives: readonly Reduced[], wanted: number): number {
  let [low, high] = [-700, Math.max(...lives.map(({ end }) => end))];
  for (let step = 0; step < 60; step++) {
    const middle = (low + high) / 2;
    if (expectedIn(lives, -Infinity, middle).expected < wanted) low = middle;
    else high = middle;
  }
  return high;
}
