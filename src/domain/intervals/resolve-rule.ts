import { ImpossibleValue } from '../impossible-value.js';
import type { Message } from '../message.js';
import { told } from '../quantities/told.js';
import { message } from './messages.js';
import type { Duty, IntervalRule, Limits, Margin, ResolvedRule } from './types.js';

/** The limits of one cycle, all settled. */
export type Every = ResolvedRule['every'];

/** A lead and a delay, all settled, with what was assumed. */
export interface Margins {
  window: { km: number; days: number; hours: number };
  grace: { km: number; days: number; hours: number };
  basis: Message[];
}

/** Mean length of a month of the Gregorian calendar, for sharing out a lead in days. */
const DAYS_PER_MONTH = 30.436875;

/** Common practice, no published source. */
const DEFAULTS = {
  window: { km: 1500, days: 30, hours: 50, share: 0.2 },
  grace: { km: 800, days: 14, hours: 25, share: 0.1 },
} as const;

/**
 * An interval as it applies to one duty.
 *
 * Under `severe` the limits given there take the place of the normal ones, and those not given
 * stay. A longer first interval is for normal duty: under `severe` it holds only where `severe`
 * itself has one.
 *
 * @throws ImpossibleValue when the interval has no limit, or one that is not above zero, or months
 *   that are no whole number.
 * @example resolveRule({ component: 'water-pump', action: 'replace', item: null, everyMonths: 96, severe: { everyMonths: 60 }, anchor: 'completion' }, 'severe').every.months // 60
 */
export function resolveRule(rule: IntervalRule, duty: Duty): ResolvedRule {
  const severe = duty === 'severe' ? (rule.severe ?? null) : null;
  const normal = settle(rule);
  const under = severe ? settle(severe) : null;
  const every: Every = {
    km: under?.km ?? normal.km,
    months: under?.months ?? normal.months,
    hours: under?.hours ?? normal.hours,
  };
  const beforeSeason = rule.beforeSeason ?? false;
  if (every.km === null && every.months === null && every.hours === null && !beforeSeason) {
    throw new ImpossibleValue({
      field: 'interval',
      value: `${rule.component} / ${rule.action}`,
      detail: message('interval-without-limit'),
    });
  }
  const firstLimits = severe ? severe.first : rule.first;
  const first = firstLimits ? settle(firstLimits) : null;
  const { component, action, item, anchor } = rule;
  return {
    component,
    action,
    item,
    anchor,
    every,
    first: first && {
      km: every.km === null ? first.km : (first.km ?? every.km),
      months: every.months === null ? first.months : (first.months ?? every.months),
      hours: every.hours === null ? first.hours : (first.hours ?? every.hours),
    },
    window: rule.window ?? {},
    grace: rule.grace ?? {},
    beforeSeason,
  };
}

/**
 * The window and the grace of one cycle. What the plan leaves out is the smaller of 1,500 km / 30
 * days / 50 h and 20 % of the interval for the window, 800 km / 14 days / 25 h and 10 % for the
 * grace: common practice, and said so in `basis`. Days are whole.
 *
 * @example marginsOf({ window: {}, grace: { days: 3 }, … }, { km: 5000, months: 6, hours: null }).window // { km: 1000, days: 30, hours: 50 }
 */
export function marginsOf(rule: Pick<ResolvedRule, 'window' | 'grace'>, every: Every): Margins {
  const known = marginsByCycle.get(every);
  if (known?.of === rule) return known.margins;
  const margins = settleMargins(rule, every);
  marginsByCycle.set(every, { of: rule, margins });
  return margins;
}

/** Those of a cycle are asked for with each line that follows it. */
const marginsByCycle = new WeakMap<Every, { of: object; margins: Margins }>();

function settleMargins(rule: Pick<ResolvedRule, 'window' | 'grace'>, every: Every): Margins {
  const basis: Message[] = [];
  const settleMargin = (name: 'window' | 'grace', given: Margin) => {
    const { km, days, hours, share } = DEFAULTS[name];
    const assumed = {
      km: every.km === null ? km : Math.min(km, share * every.km),
      days: every.months === null ? days : Math.min(days, Math.floor(share * every.months * DAYS_PER_MONTH)),
      hours: every.hours === null ? hours : Math.min(hours, share * every.hours),
    };
    const used = (['km', 'days', 'hours'] as const).filter(
      (unit) => (given[unit] ?? null) === null && every[unit === 'days' ? 'months' : unit] !== null,
    );
    if (used.length > 0) {
      const limits = used.map((unit) => marginTerm(unit, assumed[unit]));
      basis.push(message('basis-default-margin', { margin: name, limits }));
    }
    return {
      km: given.km ?? assumed.km,
      days: given.days ?? assumed.days,
      hours: given.hours ?? assumed.hours,
    };
  };
  return { window: settleMargin('window', rule.window), grace: settleMargin('grace', rule.grace), basis };
}

function marginTerm(unit: 'km' | 'days' | 'hours', value: number): Message {
  if (unit === 'km') return message('margin-distance', { distance: told('distance', value, 'km') });
  const toTenth = Math.round(value * 10) / 10;
  return unit === 'days'
    ? message('margin-days', { days: toTenth })
    : message('margin-hours', { hours: toTenth });
}

function settle(limits: Limits): Every {
  const { everyKm = null, everyMonths = null, everyHours = null } = limits;
  for (const [name, value] of [
    ['everyDistance', everyKm],
    ['everyMonths', everyMonths],
    ['everyEngineHours', everyHours],
  ] as const) {
    if (value !== null && !(value > 0 && Number.isFinite(value))) {
      const detail = message('interval-limit-not-positive', { value: String(value) });
      throw new ImpossibleValue({ field: name, value, limit: { above: 0 }, detail });
    }
  }
  if (everyMonths !== null && !Number.isInteger(everyMonths)) {
    throw new ImpossibleValue({
      field: 'everyMonths',
      value: everyMonths,
      limit: { whole: true },
      detail: message('interval-months-not-whole', { value: String(everyMonths) }),
    });
  }
  return { km: everyKm, months: everyMonths, hours: everyHours };
}
