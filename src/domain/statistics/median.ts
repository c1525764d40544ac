import { ImpossibleValue } from '../impossible-value.js';
import { message } from './messages.js';

/** Middle of an ascending list: the mean of the middle two for an even count. */
export function medianOfSorted(ascending: ArrayLike<number>): number {
  const n = ascending.length;
  if (n === 0) {
    const detail = message('median-needs-a-value');
    throw new ImpossibleValue({ field: 'values', value: n, limit: { min: 1 }, detail });
  }
  const upper = ascending[n >> 1]!;
  return n % 2 === 1 ? upper : (ascending[(n >> 1) - 1]! + upper) / 2;
}

/**
 * Median of values in any order and any unit.
 *
 * @throws ImpossibleValue on an empty list.
 * @example median([3, 1, 10]) // 3
 */
export function median(values: readonly number[]): number {
  return medianOfSorted(Float64Array.from(values).sort());
}

/**
 * Standard deviation estimated from the median absolute deviation: 1.4826 × median |x − median|, in
 * the unit of the values. The factor 1/Φ⁻¹(3/4) makes it agree with the standard deviation for
 * normal data; half of the values may be wild.
 *
 * Source: Hampel (1974), J. Amer. Statist. Assoc. 69, 383.
 *
 * @throws ImpossibleValue on an empty list.
 * @example scaledMad([1, 1, 2, 2, 4, 6, 9]) // 1.4826
 */
export function scaledMad(values: readonly number[]): number {
  const centre = median(values);
  return 1.4826 * median(values.map((value) => Math.abs(value - centre)));
}
