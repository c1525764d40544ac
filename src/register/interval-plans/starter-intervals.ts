import { canonicalJson } from '../../domain/canonical-json.js';
import { lineKey } from '../../domain/intervals/resets.js';
import type { IntervalRule } from '../../domain/intervals/types.js';
import type { IntervalPlan } from '../../entities/interval-plan.entity.js';

/** How often: what a ready-made interval is about. */
function limitsOf({ everyKm, everyMonths, everyHours, first, severe }: IntervalRule): string {
  return canonicalJson({ everyKm, everyMonths, everyHours, first, severe });
}

/**
 * Keeps the mark of the ready-made intervals whose limits a change leaves as they were. Window and
 * grace are the fleet's own affair.
 */
export function markUnchanged(
  before: readonly IntervalRule[],
  after: readonly IntervalRule[],
): IntervalRule[] {
  return after.map((interval) => {
    const known = before.find((other) => lineKey(other) === lineKey(interval));
    if (known?.isStarter !== true || limitsOf(known) !== limitsOf(interval)) return interval;
    return { ...interval, isStarter: true };
  });
}

/** The intervals of a plan that a manager confirmed. */
export const withoutMarks = (intervals: readonly IntervalRule[]): IntervalRule[] =>
  intervals.map(({ isStarter: _isStarter, ...interval }) => interval);

export const starterIntervalPointers = ({ intervals }: Pick<IntervalPlan, 'intervals'>): string[] =>
  intervals.flatMap(({ isStarter }, index) => (isStarter === true ? [`/intervals/${index}`] : []));
