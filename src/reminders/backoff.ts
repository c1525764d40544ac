const SECOND = 1000;
const MINUTE = 60 * SECOND;
const HOUR = 60 * MINUTE;

/** Waits between one attempt and the next: 27 h 42 min 40 s in all, so that a receiver may be down for a day. */
const WAITS_MS = [
  10 * SECOND,
  30 * SECOND,
  2 * MINUTE,
  10 * MINUTE,
  30 * MINUTE,
  HOUR,
  2 * HOUR,
  4 * HOUR,
  8 * HOUR,
  12 * HOUR,
];

/** So many attempts are made before a reminder counts as undelivered. */
export const MAX_ATTEMPTS = WAITS_MS.length + 1;

/**
 * How long to wait after a failed attempt, in milliseconds; null after the last. Up to a quarter is added at random, so that a
 * receiver that comes back is not met by everything at once.
 *
 * @param attempts attempts made so far, from 1
 * @param random from 0 up to 1
 * @example waitAfter(2, 0) // 30000
 */
export function waitAfter(attempts: number, random: number): number | null {
  const wait = WAITS_MS[attempts - 1];
  return wait === undefined ? null : Math.round(wait * (1 + random / 4));
}
