/**
 * How far a plan may be from the cheapest possible one, as a share of its cost: (cost − bound) /
 * cost, 0 if both are zero. A bound that is above the cost by a rounding error counts as the cost.
 *
 * @param bound proved lower bound of the cost of any plan; null: nothing is proved
 * @returns null if nothing is proved
 * @example gapOf(200, 190) // 0.05
 */
export function gapOf(cost: number, bound: number | null): number | null {
  if (bound === null) return null;
  if (cost <= 0) return 0;
  return Math.min(1, Math.max(0, (cost - bound) / cost));
}
