/** So many minutes after its hour the last fleet has its turn. */
export const SPREAD_MINUTES = 30;

const SPREAD_SECONDS = 60 * SPREAD_MINUTES;
/** Hexadecimal digits at the end of an id: random in version 7, which begins with the time. */
const RANDOM_DIGITS = 12;

/**
 * How long after the hour a fleet has its turn at what all fleets do at that hour, so that not all
 * of a time zone begin in the same second. A fleet keeps its second for good.
 *
 * @returns whole seconds, from 0 and below 1,800
 * @example secondsAfterHour('0198c0de-0000-7000-8000-0000000002a5') // 677: at 06:11:17
 */
export function secondsAfterHour(fleetId: string): number {
  return parseInt(fleetId.slice(-RANDOM_DIGITS), 16) % SPREAD_SECONDS;
}

/**
 * The same as a pattern of the queue's schedule, which begins with the second.
 *
 * @example dailyPattern('0198c0de-0000-7000-8000-0000000002a5', 6) // '17 11 6 * * *'
 */
export function dailyPattern(fleetId: string, hour: number): string {
  const seconds = secondsAfterHour(fleetId);
  return `${seconds % 60} ${Math.floor(seconds / 60)} ${hour} * * *`;
}
