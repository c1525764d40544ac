import { resolveRule } from '../../domain/intervals/resolve-rule.js';
import type { Duty } from '../../domain/intervals/types.js';
import type { Counter, PlanInUse } from './interval-advice.queries.js';

/** What a plan says now of replacing a part. */
export interface CurrentInterval {
  intervalPlanId: string;
  name: string;
  duty: Duty;
  item: string | null;
  vehicles: number;
  /** In km or h; null: the plan has no limit by this counter. */
  every: number | null;
}

/** The intervals of the plans in use that replace the component. */
export function currentIntervals(
  plans: readonly PlanInUse[],
  wanted: { component: string; item: string | null; duty: Duty | null; by: Counter },
): CurrentInterval[] {
  return plans
    .filter(({ duty }) => wanted.duty === null || duty === wanted.duty)
    .flatMap(({ id, name, intervals, duty, vehicles }) =>
      intervals
        .filter(({ component, action }) => component === wanted.component && action === 'replace')
        // An interval that names no item is for the only one.
        .filter(({ item }) => wanted.item === null || item === null || item === wanted.item)
        .map((interval) => {
          const { every } = resolveRule(interval, duty);
          return {
            ...{ intervalPlanId: id, name, duty, item: interval.item, vehicles },
            every: wanted.by === 'distance' ? every.km : every.hours,
          };
        }),
    );
}
