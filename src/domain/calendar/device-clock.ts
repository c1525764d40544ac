/** A device's clock may differ by this much before it is spoken of (common practice, no source). */
export const CLOCK_TOLERANCE_MS = 10 * 60_000;

/**
 * How far a device's clock is ahead of ours, from the time it says it sent something and the time
 * of arrival. Transport takes seconds, and a device that waits for a network sets a new time at
 * each try.
 *
 * @param sentAtMs by the device's clock, epoch milliseconds. @param receivedAtMs by our clock,
 * epoch milliseconds
 * @returns milliseconds, negative when it is behind; null within the tolerance of 10 minutes
 * @example sent at 18:00Z, arrived at 15:00Z: 10,800,000, three hours ahead
 */
export function deviceAheadMs(sentAtMs: number, receivedAtMs: number): number | null {
  const aheadMs = sentAtMs - receivedAtMs;
  return Math.abs(aheadMs) > CLOCK_TOLERANCE_MS ? aheadMs : null;
}

/**
 * How far a clock is off, and in which direction. @example clockOff(185 * 60_000) // { amount: '3 h
 * 5 min', side: 'ahead' }
 */
export function clockOff(aheadMs: number): { amount: string; side: 'ahead' | 'behind' } {
  const minutes = Math.round(Math.abs(aheadMs) / 60_000);
  const parts: [number, string][] = [
    [Math.floor(minutes / 1440), 'd'],
    [Math.floor((minutes % 1440) / 60), 'h'],
    [minutes % 60, 'min'],
  ];
  const shown = parts.filter(([amount]) => amount > 0).slice(0, 2);
  return {
    amount: shown.map(([amount, unit]) => `${amount} ${unit}`).join(' '),
    side: aheadMs > 0 ? 'ahead' : 'behind',
  };
}
