import type { Action, Component, IntervalRule } from '../intervals/types.js';
import type { Message } from '../message.js';
import type { CircuitName } from '../vehicles/circuits.js';
import type { StarterInterval } from './starter-set.js';
import { COMMON } from './values.js';

/** How often, by whichever comes first. */
export interface HowOften {
  km?: number;
  months?: number;
  hours?: number;
}

const limits = ({ km, months, hours }: HowOften) => ({
  everyKm: km ?? null,
  everyMonths: months ?? null,
  everyHours: hours ?? null,
});

/**
 * A ready-made interval (common practice).
 *
 * @param severe where hard use needs it sooner
 * @example every('coolant', 'inspect', { months: 6 }, null, why).rule.everyMonths // 6
 */
export function every(
  component: Component,
  action: Action,
  normal: HowOften,
  severe: HowOften | null,
  why: Message,
  circuit?: CircuitName,
): StarterInterval {
  const rule: IntervalRule = {
    ...{ component, action, item: null },
    ...(circuit !== undefined && { circuit }),
    ...limits(normal),
    first: null,
    severe: severe && { ...limits(severe), first: null },
    ...{ window: null, grace: null, beforeSeason: false, anchor: 'completion', isStarter: true },
  };
  return { rule, basis: COMMON, why };
}
