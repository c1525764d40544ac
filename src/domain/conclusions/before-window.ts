import { civilDateAt } from '../calendar/zone.js';
import { isBeforeWindow } from '../intervals/before-window.js';
import { lastReset, lineKey } from '../intervals/resets.js';
import { resolveRule } from '../intervals/resolve-rule.js';
import { baselineOf, inServiceOf } from './baselines.js';
import { intervalsIn } from './intervals-in-circuits.js';
import type { BeforeWindow } from './loss-facts.js';
import type { Plans, VehicleHistory } from './vehicle-history.js';

/**
 * Finds for each job line whether it was done before its window, by the plan and duty in force on
 * that day.
 */
export function beforeWindowOf(history: VehicleHistory, plans: Plans, timeZone: string): BeforeWindow {
  return (job, line) => {
    const on = civilDateAt(job.at, timeZone);
    const assignment =
      history.assignments.findLast(({ effectiveOn }) => effectiveOn <= on) ?? history.assignments[0];
    const intervals = intervalsIn(history, plans, assignment?.planId ?? null);
    const interval = intervals.find(
      (candidate) =>
        lineKey(candidate) === lineKey(line) || lineKey({ ...candidate, item: null }) === lineKey(line),
    );
    if (!assignment || !interval) return null;
    const earlier = lastReset(
      history.jobs.filter((candidate) => candidate.at < job.at),
      interval,
    );
    const baseline = earlier === null ? inServiceOf(history) : baselineOf(earlier, timeZone);
    return baseline === null
      ? null
      : isBeforeWindow(resolveRule(interval, assignment.duty), baseline, { ...job, on }, history.inUseMonths);
  };
}
