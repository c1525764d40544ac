/**
 * How long to wait after a failed attempt, in milliseconds; null after the last. Up to a quarter
 * is added at random, so that a receiver that comes back is not met by everything at once.
 *
 * @param attempts attempts made so far, from 1
 * @param random from 0 up to 1
 * @param waitsMs what is waited after the first attempt, the second and so on; after one more it is
 * given up
 * @example waitAfter(2, 0, [10_000, 30_000]) // 30000
 */
export function waitAfter(attempts: number, random: number, waitsMs: readonly number[]): number | null {
  const wait = waitsMs[attempts - 1];
  return wait === undefined ? null : Math.round(wait * (1 + random / 4));
}
