/**
 * What a failure mode identifier says of a value.
 *
 * `high-*` and `low-*`: the value is believed, and outside the normal range. `signal`: the value is
 * not believed, because the sensor, its wiring or the network is at fault. `mechanical`: what is
 * commanded does not follow.
 */
export type FailureMode =
  | 'high-most'
  | 'high-moderate'
  | 'high-least'
  | 'low-most'
  | 'low-moderate'
  | 'low-least'
  | 'signal'
  | 'mechanical';

/** SAE J1939-73, appendix A. */
const MODES: Readonly<Record<number, FailureMode>> = {
  0: 'high-most',
  1: 'low-most',
  2: 'signal', // data erratic, intermittent or incorrect
  3: 'signal', // voltage above normal, or shorted to high source
  4: 'signal', // voltage below normal, or shorted to low source
  5: 'signal', // current below normal, or open circuit
  6: 'signal', // current above normal, or grounded circuit
  7: 'mechanical', // mechanical system not responding, or out of adjustment
  8: 'signal', // abnormal frequency, pulse width or period
  9: 'signal', // abnormal update rate
  10: 'signal', // abnormal rate of change
  12: 'signal', // bad intelligent device or component
  13: 'signal', // out of calibration
  15: 'high-least',
  16: 'high-moderate',
  17: 'low-least',
  18: 'low-moderate',
  19: 'signal', // received network data in error
  20: 'signal', // data drifted high
  21: 'signal', // data drifted low
};

/**
 * What a failure mode identifier says.
 *
 * @returns null for those that say nothing of the cause (11 root cause not known, 14 special
 * instructions, 31 condition exists) and for those that are reserved
 * @example failureMode(16) // 'high-moderate'
 */
export function failureMode(fmi: number): FailureMode | null {
  return MODES[fmi] ?? null;
}
