import { ImpossibleValue } from '../impossible-value.js';
import { message } from './messages.js';

/**
 * A quantile of values in any order and any unit, between neighbours by their distance.
 *
 * Source: NIST/SEMATECH e-Handbook of Statistical Methods, 7.2.6.2: with p·(N + 1) = k + d, it is
 * Y[k] + d·(Y[k + 1] − Y[k]), and the least or greatest value beyond the ends.
 *
 * @param share from 0 to 1
 * @throws ImpossibleValue on an empty list.
 * @example quantile([1, 2, 3, 4], 0.5) // 2.5
 */
export function quantile(values: readonly number[], share: number): number {
  if (values.length === 0) {
    const detail = message('median-needs-a-value');
    throw new ImpossibleValue({ field: 'values', value: 0, limit: { min: 1 }, detail });
  }
  const ascending = Float64Array.from(values).sort();
  const place = Math.min(Math.max(share * (values.length + 1), 1), values.length);
  const below = ascending[Math.floor(place) - 1]!;
  const above = ascending[Math.ceil(place) - 1]!;
  return below + (place - Math.floor(place)) * (above - below);
}
