import { ImpossibleValue } from '../impossible-value.js';
import { message } from './messages.js';

/**
 * One step of the upper one-sided tabular CUSUM: S ← max(0, S + z − k). It finds a small lasting
 * shift of a mean that no single value shows; the lower one is the same of −z.
 *
 * Source: NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.3.
 *
 * @param z a value less its target; slack k, in the unit of the value or in standard deviations
 * alike.
 * @example nextCusum(1.2, 2, 0.5) // 2.7
 */
export function nextCusum(cusum: number, z: number, slack: number): number {
  return Math.max(0, cusum + z - slack);
}

/** What Siegmund's approximation adds to the decision limit for the overshoot of a normal step. */
const OVERSHOOT = 1.166;

/**
 * Average number of standard normal values, in control, until the upper one-sided tabular CUSUM
 * with slack k exceeds h.
 *
 * Source: Siegmund, Sequential Analysis (1985); ARL ≈ (e^(2kb) − 2kb − 1)/(2k²), b = h + 1.166.
 * Within 2 % of the tabulated values for k = 0.5, h ≥ 3.
 *
 * @param slack k and limit h in standard deviations. @throws ImpossibleValue unless k > 0 and h ≥
 *   0.
 * @example cusumRunLength(0.5, 5) // 938.2
 */
export function cusumRunLength(slack: number, limit: number): number {
  if (!(slack > 0)) {
    const detail = message('cusum-slack-not-above-zero', { value: String(slack) });
    throw new ImpossibleValue({ field: 'slack', value: slack, limit: { above: 0 }, detail });
  }
  if (!(limit >= 0)) {
    const detail = message('cusum-limit-below-zero', { value: String(limit) });
    throw new ImpossibleValue({ field: 'limit', value: limit, limit: { min: 0 }, detail });
  }
  const b = limit + OVERSHOOT;
  return (Math.exp(2 * slack * b) - 2 * slack * b - 1) / (2 * slack * slack);
}

/**
 * The decision limit h that an in-control CUSUM with slack k exceeds once per run length on
 * average: `cusumRunLength` solved for h by bisection; 0 where even that is exceeded less often.
 *
 * @param slack k in standard deviations; runLength in values.
 * @throws ImpossibleValue unless k > 0 and the run length is positive and finite.
 * @example cusumLimit(0.5, 938.2) // 5.000
 */
export function cusumLimit(slack: number, runLength: number): number {
  if (!(runLength > 0 && Number.isFinite(runLength))) {
    const detail = message('cusum-run-not-finite', { value: String(runLength) });
    throw new ImpossibleValue({ field: 'runLength', value: runLength, limit: { above: 0 }, detail });
  }
  let low = 0;
  let high = 1;
  while (cusumRunLength(slack, high) < runLength) high *= 2;
  while (high - low > 1e-9) {
    const middle = (low + high) / 2;
    if (cusumRunLength(slack, middle) < runLength) low = middle;
    else high = middle;
  }
  return high < 1e-8 ? 0 : high;
}
