/**
 * By which share of its cost a plan could be dearer than the cheapest there is: (cost − bound) /
 * cost, 0 where both are nothing. A bound that is above the cost by a rounding error counts as the
 * cost.
 *
 * @param bound what no plan can cost less than, proved; null: nothing is proved
 * @returns null where nothing is proved
 * @example gapOf(200, 190) // 0.05
 */
export function gapOf(cost: number, bound: number | null): number | null {
  if (bound === null) return null;
  if (cost <= 0) return 0;
  return Math.min(1, Math.max(0, (cost - bound) / cost));
}
