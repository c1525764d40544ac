import { addDays, addMonths, type CivilDate } from '../calendar/civil-date.js';
import type { InUseMonths } from '../usage/days-in-use.js';
import { dueBeforeSeason } from './before-season.js';
import { cycleOf } from './due-point.js';
import { marginsOf } from './resolve-rule.js';
import type { Baseline, ResolvedRule } from './types.js';

/** When and at what usage work was done. */
export interface WorkPosition {
  on: CivilDate;
  odometerLifetimeKm: number | null;
  engineHoursLifetime: number | null;
}

/**
 * Whether work came before the window of its interval had opened, by the usage the vehicle really
 * had on that day: a part that is replaced that early did not last.
 *
 * @param rule the interval in force on that day
 * @param baseline what the interval counted from then
 * @param work km and h over the vehicle's life
 * @param inUseMonths the months a seasonal vehicle works in; null: all year
 * @example isBeforeWindow({ every: { km: 100000, … }, window: { km: 2000 }, … }, { odometerLifetimeKm: 0, … }, { odometerLifetimeKm: 40000, … }) // true
 */
export function isBeforeWindow(
  rule: ResolvedRule,
  baseline: Baseline,
  work: WorkPosition,
  inUseMonths: InUseMonths = null,
): boolean {
  const every = cycleOf(rule, baseline);
  const { window } = marginsOf(rule, every);
  const reached = (limit: number | null, lead: number, from: number | null, at: number | null): boolean =>
    limit !== null && from !== null && at !== null && at >= from + limit - lead;
  if (reached(every.km, window.km, baseline.odometerLifetimeKm, work.odometerLifetimeKm)) return false;
  if (reached(every.hours, window.hours, baseline.engineHoursLifetime, work.engineHoursLifetime))
    return false;
  const season = rule.beforeSeason
    ? dueBeforeSeason(inUseMonths, { doneOn: baseline.on, askedFrom: baseline.on, windowDays: window.days })
    : null;
  if (season !== null && work.on >= addDays(season, -window.days)) return false;
  return every.months === null || work.on < addDays(addMonths(baseline.on, every.months), -window.days);
}
