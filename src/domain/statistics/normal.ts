import { ImpossibleValue } from '../impossible-value.js';
import { message } from './messages.js';

/**
 * Distribution function of the standard normal distribution, Φ(z).
 *
 * Source: DLMF 7.6.2 (series) and 7.9.1 (continued fraction) for the error function,
 * https://dlmf.nist.gov/7; absolute error below 1e-14.
 *
 * @example normalCdf(1.96) // 0.9750021
 */
export function normalCdf(z: number): number {
  const x = Math.abs(z) / Math.SQRT2;
  const upperTail = x < 2.5 ? (1 - erfSeries(x)) / 2 : erfcFraction(x) / 2;
  return z > 0 ? 1 - upperTail : upperTail;
}

/**
 * Quantile of the standard normal distribution: the z with Φ(z) = p. Newton's method on `normalCdf`
 * from the rational approximation 26.2.23 of Abramowitz & Stegun.
 *
 * @throws ImpossibleValue unless 0 < p < 1.
 * @example normalQuantile(0.975) // 1.959964
 */
export function normalQuantile(p: number): number {
  if (!(p > 0 && p < 1)) {
    const detail = message('probability-not-between-0-and-1', { value: String(p) });
    throw new ImpossibleValue({ field: 'p', value: p, limit: { above: 0, below: 1 }, detail });
  }
  const t = Math.sqrt(-2 * Math.log(Math.min(p, 1 - p)));
  const tail =
    t -
    (2.515517 + 0.802853 * t + 0.010328 * t * t) / (1 + 1.432788 * t + 0.189269 * t * t + 0.001308 * t ** 3);
  let z = p < 0.5 ? -tail : tail;
  for (let step = 0; step < 4; step++) {
    z -= (normalCdf(z) - p) / (Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI));
  }
  return z;
}

/** The normal quantile of two-sided 95 % limits. */
export const Z95 = normalQuantile(0.975);

function erfSeries(x: number): number {
  let term = x;
  let sum = x;
  for (let n = 1; Math.abs(term) > 1e-17 * Math.abs(sum); n++) {
    term *= (2 * x * x) / (2 * n + 1);
    sum += term;
  }
  return (2 / Math.sqrt(Math.PI)) * Math.exp(-x * x) * sum;
}

function erfcFraction(x: number): number {
  let fraction = x;
  for (let n = 60; n >= 1; n--) fraction = x + n / 2 / fraction;
  return Math.exp(-x * x) / (Math.sqrt(Math.PI) * fraction);
}
