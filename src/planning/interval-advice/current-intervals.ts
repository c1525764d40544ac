import { resolveRule } from '../../domain/intervals/resolve-rule.js';
import type { Duty } from '../../domain/intervals/types.js';
import type { Counter, PlanInUse } from './interval-advice.queries.js';

/** A plan's present interval for replacing a part. */
export interface CurrentInterval {
  intervalPlanId: string;
  name: string;
  duty: Duty;
  item: string | null;
  vehicles: number;
  /** In km or h. Null: the plan has no limit by this counter. */
  every: number | null;
  /** JSON pointer of the interval in its plan. */
  pointer: string;
  /** From a ready-made plan, and nobody has confirmed or replaced it. */
  isStarter: boolean;
}

/** The intervals for replacing the component, from the plans in use. */
export function currentIntervals(
  plans: readonly PlanInUse[],
  wanted: { component: string; item: string | null; duty: Duty | null; by: Counter },
): CurrentInterval[] {
  return plans
    .filter(({ duty }) => wanted.duty === null || duty === wanted.duty)
    .flatMap(({ id, name, intervals, duty, vehicles }) =>
      intervals
        .map((interval, index) => ({ ...interval, pointer: `/intervals/${index}` }))
        .filter(({ component, action }) => component === wanted.component && action === 'replace')
        // An interval without an item counts from the work on any of the parts (`resets`), so it is
        // an interval of each of them.
        .filter(({ item }) => wanted.item === null || item === null || item === wanted.item)
        .map((interval) => {
          const { every } = resolveRule(interval, duty);
          return {
            ...{ intervalPlanId: id, name, duty, item: interval.item, vehicles },
            every: wanted.by === 'distance' ? every.km : every.hours,
            ...{ pointer: interval.pointer, isStarter: interval.isStarter ?? false },
          };
        }),
    );
}
