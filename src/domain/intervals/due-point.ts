import { addDays, addMonths, civilDateOf, epochDayOf } from '../calendar/civil-date.js';
import type { Every } from './resolve-rule.js';
import type { Baseline, CivilDate, ResolvedRule } from './types.js';

/**
 * Where the limits of one cycle lie: lifetime km, lifetime h, and a date, each with the length of
 * its interval.
 */
export interface Point {
  km: Counted | null;
  hours: Counted | null;
  time: { on: CivilDate; lengthDays: number } | null;
}

export interface Counted {
  at: number;
  length: number;
}

/** Lifetime counters on the day of a change; null where unknown. */
export interface CountersOn {
  km: number | null;
  hours: number | null;
}

/** The limits that apply to a cycle: those of the first where nothing has been done yet. */
export function cycleOf(rule: ResolvedRule, baseline: Baseline): Every {
  return baseline.kind === 'in-service' && rule.first ? rule.first : rule.every;
}

/**
 * Where an interval comes due after its baseline.
 *
 * `completion`: baseline + interval. `schedule`: the first point of the fixed grid (origin +
 * interval, + 2 intervals, …; where the first interval differs, origin + first, + interval, …) that
 * lies more than half an interval after the baseline, so that work done a little early or late does
 * not shift the grid. Months are those of the calendar, counted from the start with the day clamped
 * to the month's end.
 *
 * @param origin where the grid begins; null: the baseline.
 * @example firstPoint(rule, { kind: 'job', on: '2024-01-31', odometerLifetimeKm: 1000, engineHoursLifetime: null }, null).time // every month: 2024-02-29
 */
export function firstPoint(rule: ResolvedRule, baseline: Baseline, origin: Baseline | null): Point {
  const cycle = cycleOf(rule, baseline);
  const grid = rule.anchor === 'schedule' && baseline.kind === 'job' ? origin : null;
  const counted = (key: 'km' | 'hours', from: number | null, start: number | null): Counted | null => {
    const length = cycle[key];
    if (length === null || from === null) return null;
    const first = rule.first?.[key] ?? length;
    return {
      at:
        grid === null || start === null
          ? from + length
          : nextOnGrid(start + first, length, from + length / 2),
      length,
    };
  };
  return {
    km: counted('km', baseline.odometerLifetimeKm, grid?.odometerLifetimeKm ?? null),
    hours: counted('hours', baseline.engineHoursLifetime, grid?.engineHoursLifetime ?? null),
    time: timePoint(rule, cycle.months, baseline.on, grid?.on ?? null),
  };
}

/**
 * Carries a cycle over a change of duty or plan on a day: the used share stays, so 70 % of the old
 * interval used leaves 30 % of the new one. A limit that was already passed stays where it was; one
 * that only the new interval has is counted from the baseline, but not to before the day of the
 * change. So no line comes due before that day by the change.
 *
 * Common practice, no published source.
 */
export function carryOver(
  point: Point,
  to: ResolvedRule,
  baseline: Baseline,
  changedOn: CivilDate,
  counters: CountersOn,
): Point {
  const cycle = cycleOf(to, baseline);
  const counted = (key: 'km' | 'hours', from: number | null): Counted | null => {
    const length = cycle[key];
    const old = point[key];
    const now = counters[key];
    if (length === null) return null;
    if (old === null || now === null) {
      if (from === null) return null;
      return { at: Math.max(from + length, now ?? -Infinity), length };
    }
    return { at: old.at <= now ? old.at : now + ((old.at - now) / old.length) * length, length };
  };
  return {
    km: counted('km', baseline.odometerLifetimeKm),
    hours: counted('hours', baseline.engineHoursLifetime),
    time: cycle.months === null ? null : timeCarried(point.time, cycle.months, baseline.on, changedOn),
  };
}

function timeCarried(
  old: Point['time'],
  months: number,
  from: CivilDate,
  changedOn: CivilDate,
): Point['time'] {
  const lengthDays = daysBetween(changedOn, addMonths(changedOn, months));
  if (old === null) {
    const on = addMonths(from, months);
    return { on: on > changedOn ? on : changedOn, lengthDays };
  }
  if (old.on <= changedOn) return { on: old.on, lengthDays };
  const left = Math.round((daysBetween(changedOn, old.on) / old.lengthDays) * lengthDays);
  return { on: addDays(changedOn, left), lengthDays };
}

function timePoint(
  rule: ResolvedRule,
  months: number | null,
  from: CivilDate,
  start: CivilDate | null,
): Point['time'] {
  if (months === null) return null;
  const whole = daysBetween(from, addMonths(from, months));
  if (start === null) return { on: addMonths(from, months), lengthDays: whole };
  const first = rule.first?.months ?? months;
  const after = civilDateOf(epochDayOf(from) + Math.floor(whole / 2));
  let turn = Math.max(0, Math.floor((daysBetween(start, from) / 31 - first) / months));
  while (addMonths(start, first + turn * months) <= after) turn++;
  return { on: addMonths(start, first + turn * months), lengthDays: whole };
}

/** The first of `first`, first + length, … above a value. */
function nextOnGrid(first: number, length: number, above: number): number {
  return first > above ? first : first + (Math.floor((above - first) / length) + 1) * length;
}

function daysBetween(from: CivilDate, to: CivilDate): number {
  return epochDayOf(to) - epochDayOf(from);
}
