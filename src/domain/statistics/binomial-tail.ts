import { ImpossibleValue } from '../impossible-value.js';
import { message } from './messages.js';

/**
 * P(X ≥ k) for a binomial X of n trials with probability p, summed in logarithms.
 *
 * Source: the definition of the binomial distribution. @throws ImpossibleValue for p outside 0…1.
 * @example binomialUpperTail(3, 4, 0.5) // 0.3125
 */
export function binomialUpperTail(k: number, n: number, p: number): number {
  if (!(p >= 0 && p <= 1)) {
    const detail = message('probability-outside-0-to-1', { value: String(p) });
    throw new ImpossibleValue({ field: 'p', value: p, limit: { min: 0, max: 1 }, detail });
  }
  if (k <= 0) return 1;
  if (p === 0) return 0;
  if (p === 1) return k <= n ? 1 : 0;
  const logOdds = Math.log(p) - Math.log1p(-p);
  let logTerm = n * Math.log1p(-p);
  let tail = 0;
  for (let i = 0; i <= n; i++) {
    if (i >= k) tail += Math.exp(logTerm);
    logTerm += Math.log((n - i) / (i + 1)) + logOdds;
  }
  return Math.min(1, tail);
}
