/** Fleets start within this many minutes after the hour. */
export const SPREAD_MINUTES = 30;

const SPREAD_SECONDS = 60 * SPREAD_MINUTES;
/**
 * Hexadecimal digits at the end of an id. They are random in UUID version 7, which begins with the
 * time.
 */
const RANDOM_DIGITS = 12;

/**
 * Returns how long after the hour a fleet's turn comes, so the fleets of a time zone do not all
 * start in the same second. A fleet always gets the same second.
 *
 * @returns whole seconds, from 0 up to but not including 1,800
 * @example secondsAfterHour('0198c0de-0000-7000-8000-0000000002a5') // 677: at 06:11:17
 */
export function secondsAfterHour(fleetId: string): number {
  return parseInt(fleetId.slice(-RANDOM_DIGITS), 16) % SPREAD_SECONDS;
}

/**
 * Returns the same time as a cron pattern for the queue's schedule. The pattern begins with the
 * second.
 *
 * @example dailyPattern('0198c0de-0000-7000-8000-0000000002a5', 6) // '17 11 6 * * *'
 */
export function dailyPattern(fleetId: string, hour: number): string {
  const seconds = secondsAfterHour(fleetId);
  return `${seconds % 60} ${Math.floor(seconds / 60)} ${hour} * * *`;
}
