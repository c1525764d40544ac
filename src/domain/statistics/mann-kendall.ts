import { ImpossibleValue } from '../impossible-value.js';
import { message } from './messages.js';
import { normalCdf } from './normal.js';
import { tieTerm } from './theil-sen.js';

export interface MannKendall {
  /** Pairs that rise minus pairs that fall. */
  s: number;
  variance: number;
  /** (S ∓ 1)/√variance, continuity corrected; 0 when every value is the same. */
  z: number;
  /** Two-sided, normal approximation. */
  pTwoSided: number;
  /**
   * Probability of an S at least this large without a trend: exact up to `EXACT_UP_TO` values,
   * beyond that by z.
   */
  pRising: number;
  /** Whether `pRising` is exact. */
  exact: boolean;
}

/** The longest series for which the distribution of S is computed exactly. */
const EXACT_UP_TO = 30;

/**
 * Mann–Kendall test for a trend in a series in time order.
 *
 * Source: Mann (1945), Kendall (1975); EPA QA/G-9S section 4.3.4. The exact distribution holds with
 * ties too: without a trend every order of the values is as likely, and their inversions are
 * counted by a q-multinomial coefficient.
 *
 * @throws ImpossibleValue on fewer than two values.
 * @example mannKendall([5, 6, 11, 8, 10]).pRising // 0.116667 (S = 6)
 */
export function mannKendall(series: readonly number[]): MannKendall {
  const n = series.length;
  if (n < 2) {
    const detail = message('trend-needs-two-values', { count: n });
    throw new ImpossibleValue({ field: 'series', value: n, limit: { min: 2 }, detail });
  }
  let s = 0;
  for (let i = 0; i < n; i++) for (let j = i + 1; j < n; j++) s += Math.sign(series[j]! - series[i]!);
  const variance = (n * (n - 1) * (2 * n + 5) - tieTerm(series)) / 18;
  const z = variance === 0 ? 0 : (s - Math.sign(s)) / Math.sqrt(variance);
  const exact = n <= EXACT_UP_TO;
  // Continuity: at least S means above S − 1, on the other side of zero too, where z has S + 1.
  const pRising = exact
    ? exactUpperTail(series, s)
    : variance === 0
      ? 1
      : 1 - normalCdf((s - 1) / Math.sqrt(variance));
  return { s, variance, z, pTwoSided: 2 * normalCdf(-Math.abs(z)), pRising, exact };
}

function exactUpperTail(series: readonly number[], s: number): number {
  const groups = new Map<number, number>();
  for (const value of series) groups.set(value, (groups.get(value) ?? 0) + 1);
  let inversions = [1];
  let placed = 0;
  let pairs = 0;
  for (const size of groups.values()) {
    inversions = convolve(inversions, inversionsBetween(placed, size));
    pairs += placed * size;
    placed += size;
  }
  // S = pairs − 2 × inversions.
  const most = (pairs - s) / 2;
  return inversions.slice(0, most + 1).reduce((sum, probability) => sum + probability, 0);
}

/**
 * Probabilities of 0 … a·b inversions between a and b values shuffled together (the Mann–Whitney
 * distribution).
 */
function inversionsBetween(a: number, b: number): number[] {
  // Row by row over the larger values: the last place holds one of the b with probability b/(a +
  // b), and then no inversion ends there; otherwise one of the a, with b inversions.
  let previous: number[][] = Array.from({ length: b + 1 }, () => [1]);
  for (let i = 1; i <= a; i++) {
    const row: number[][] = [[1]];
    for (let j = 1; j <= b; j++) {
      const counts = Array.from({ length: i * j + 1 }, () => 0);
      row[j - 1]!.forEach((p, u) => (counts[u] = counts[u]! + (p * j) / (i + j)));
      previous[j]!.forEach((p, u) => (counts[u + j] = counts[u + j]! + (p * i) / (i + j)));
      row.push(counts);
    }
    previous = row;
  }
  return previous[b]!;
}

function convolve(left: readonly number[], right: readonly number[]): number[] {
  const product = Array.from({ length: left.length + right.length - 1 }, () => 0);
  left.forEach((a, i) => right.forEach((b, j) => (product[i + j] = product[i + j]! + a * b)));
  return product;
}
