import { ImpossibleValue } from '../impossible-value.js';
import { message } from './messages.js';
import { normalCdf } from './normal.js';

/**
 * Upper tail of the χ² distribution with a whole number of degrees of freedom: the probability of a
 * value at least this large.
 *
 * Source: Abramowitz & Stegun 26.4.4 and 26.4.5 (finite sums).
 *
 * @throws ImpossibleValue unless `degreesOfFreedom` is a whole number of at least 1.
 * @example chiSquareTail(3.841459, 1) // 0.05
 */
export function chiSquareTail(value: number, degreesOfFreedom: number): number {
  const nu = degreesOfFreedom;
  if (!Number.isInteger(nu) || nu < 1) {
    const detail = message('degrees-of-freedom-not-whole', { value: String(nu) });
    throw new ImpossibleValue({
      field: 'degreesOfFreedom',
      value: nu,
      limit: { whole: true, min: 1 },
      detail,
    });
  }
  if (!(value > 0)) return 1;
  const root = Math.sqrt(value);
  const isOdd = nu % 2 === 1;
  // Each term is the one before times value/(next whole number of the same parity).
  let term = isOdd ? (2 * root * Math.exp(-value / 2)) / Math.sqrt(2 * Math.PI) : Math.exp(-value / 2);
  let sum = isOdd ? 2 * normalCdf(-root) : term;
  for (let k = isOdd ? 1 : 2; k <= nu - 2; k += 2) {
    if (isOdd) sum += term;
    term *= value / (isOdd ? k + 2 : k);
    if (!isOdd) sum += term;
  }
  return Math.min(1, sum);
}
