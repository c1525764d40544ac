/**
 * Returns how long to wait after a failed attempt, in milliseconds; null after the last one. Up to
 * a quarter is added at random, so that everything does not hit a receiver at once when it comes
 * back.
 *
 * @param attempts attempts made so far, from 1
 * @param random from 0 up to 1
 * @param waitsMs waits after the first attempt, the second and so on. The attempt after the last
 * wait is the final one
 * @example waitAfter(2, 0, [10_000, 30_000]) // 30000
 */
export function waitAfter(attempts: number, random: number, waitsMs: readonly number[]): number | null {
  const wait = waitsMs[attempts - 1];
  return wait === undefined ? null : Math.round(wait * (1 + random / 4));
}
