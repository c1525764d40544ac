import { STARTER_INTERVAL } from '../../domain/evaluation/starter-mark.js';
import type { IntervalRule, Limits, Margin } from '../../domain/intervals/types.js';
import type { MeasureKind } from '../../domain/quantities/measures.js';
import type { Quantity } from '../../domain/quantities/units.js';
import { canonicalOf } from '../../domain/quantities/given.js';
import { optionalMeasure, optionalQuantity } from '../../platform/presenting/measures.js';
import { starterMark } from '../starter-mark/starter-mark.js';
import { starterIntervalPointers } from './starter-intervals.js';
import type {
  IntervalInput,
  IntervalLimits,
  IntervalMargin,
  IntervalPlanInput,
  IntervalPlanView,
} from './interval-plan.dto.js';
import type { IntervalPlan } from '../../entities/interval-plan.entity.js';

/** An interval in the form that the domain uses. */
export function ruleOf(interval: IntervalInput): IntervalRule {
  const { first, severe, window, grace } = interval;
  return {
    component: interval.component,
    action: interval.action,
    item: interval.item?.trim() ?? null,
    ...(interval.circuit != null && { circuit: interval.circuit }),
    ...limitsOf(interval),
    first: first ? limitsOf(first) : null,
    severe: severe ? { ...limitsOf(severe), first: severe.first ? limitsOf(severe.first) : null } : null,
    window: window ? marginOf(window) : null,
    grace: grace ? marginOf(grace) : null,
    beforeSeason: interval.beforeSeason ?? false,
    anchor: interval.anchor ?? 'completion',
  };
}

function limitsOf(limits: IntervalLimits): Limits {
  return {
    everyKm: canonicalOf('distance', limits.everyDistance),
    everyMonths: limits.everyMonths ?? null,
    everyHours: canonicalOf('engine-hours', limits.everyEngineHours),
  };
}

function marginOf({ distance, days, engineHours }: IntervalMargin): Margin {
  return {
    km: canonicalOf('distance', distance),
    days: days ?? null,
    hours: canonicalOf('engine-hours', engineHours),
  };
}

type Shown = (kind: MeasureKind, value: number | null) => Quantity | null;

function intervalOf(rule: IntervalRule, shown: Shown): IntervalInput {
  const limits = ({ everyKm, everyMonths, everyHours }: Limits): IntervalLimits => ({
    everyDistance: shown('distance', everyKm ?? null),
    everyMonths: everyMonths ?? null,
    everyEngineHours: shown('engine-hours', everyHours ?? null),
  });
  const margin = ({ km, days, hours }: Margin): IntervalMargin => ({
    distance: shown('distance', km ?? null),
    days: days ?? null,
    engineHours: shown('engine-hours', hours ?? null),
  });
  const { component, action, item, circuit, first, severe, window, grace, anchor } = rule;
  return {
    component,
    action,
    item,
    ...(circuit != null && { circuit }),
    ...limits(rule),
    first: first ? limits(first) : null,
    severe: severe ? { ...limits(severe), first: severe.first ? limits(severe.first) : null } : null,
    window: window ? margin(window) : null,
    grace: grace ? margin(grace) : null,
    beforeSeason: rule.beforeSeason ?? false,
    anchor,
  };
}

/** The columns in which a posted plan is stored. */
export function columnsOf(input: IntervalPlanInput) {
  return { name: input.name.trim(), intervals: input.intervals.map(ruleOf) };
}

/** The record in the form in which it is posted. A patch is applied to it. */
export function inputOf({ name, intervals }: IntervalPlan): IntervalPlanInput {
  return { name, intervals: intervals.map((rule) => intervalOf(rule, optionalQuantity)) };
}

export function viewOf(plan: IntervalPlan): IntervalPlanView {
  const { id, name, intervals, version } = plan;
  return {
    id,
    name,
    intervals: intervals.map(intervalShown),
    starter: starterMark(plan, starterIntervalPointers(plan), STARTER_INTERVAL),
    version,
  };
}

/** An interval as it is shown. */
export const intervalShown = (rule: IntervalRule): IntervalInput => intervalOf(rule, optionalMeasure);
