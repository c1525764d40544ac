export interface CusumStep {
  /** Sum of what lies above the target by more than the slack. */
  high: number;
  /** Sum of what lies below the target by more than the slack. */
  low: number;
  /** Whether either sum exceeds the decision limit here. */
  signal: boolean;
}

/**
 * Tabular CUSUM: finds a small lasting shift of a mean that no single value shows.
 *
 * S_high ← max(0, S_high + x − target − slack), S_low ← max(0, S_low + target − slack − x), a signal where either exceeds the decision
 * limit. The sums run on after a signal. Everything in the unit of the values. Source: NIST/SEMATECH e-Handbook of Statistical
 * Methods 6.3.2.3.
 *
 * @throws RangeError when the slack or the limit is negative.
 * @example tabularCusum([1, 1, 1], { target: 0, slack: 0.5, decisionLimit: 1.2 })[2] // { high: 1.5, low: 0, signal: true }
 */
export function tabularCusum(
  values: readonly number[],
  { target, slack, decisionLimit }: { target: number; slack: number; decisionLimit: number },
): CusumStep[] {
  if (!(slack >= 0 && decisionLimit >= 0)) {
    throw new RangeError(
      `slack (${slack}) and decision limit (${decisionLimit}) of a CUSUM cannot be negative`,
    );
  }
  let high = 0;
  let low = 0;
  return values.map((value) => {
    high = Math.max(0, high + value - target - slack);
    low = Math.max(0, low + target - slack - value);
    return { high, low, signal: high > decisionLimit || low > decisionLimit };
  });
}
