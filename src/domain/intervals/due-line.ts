import { addDays } from '../calendar/civil-date.js';
import { startOfDay } from '../calendar/zone.js';
import type { Message } from '../message.js';
import { estimateNow } from '../usage/projection.js';
import { DAYS_BEFORE_SEASON, dueBeforeSeason } from './before-season.js';
import { carryOver, cycleOf, firstPoint, type Counted, type Point } from './due-point.js';
import {
  atRest,
  byCalendar,
  combine,
  later,
  whenReached,
  type CounterDates,
  type DatedLimit,
} from './limit-dates.js';
import { message } from './messages.js';
import { postponedPoint } from './postponed-point.js';
import { rateMethod } from './rate-method.js';
import { type Every, type Margins, marginsOf } from './resolve-rule.js';
import type { Baseline, CounterOutlook, DueLineInput, DuePoint, NoBaseline, ResolvedRule } from './types.js';

/**
 * One line of the due list: when an interval of a vehicle comes due, by which limit, and how sure
 * that is.
 *
 * Counted from the last job that resets it, else from the in-service date; whichever limit comes
 * first. A distance or hours limit gives the day on which the readings crossed it, else t = t_last
 * + (due − last)/rate with its 90 % band; without a rate, none. Days do not depend on today, so a
 * stored line does not change until a fact does (`readDueLine` adds what today changes).
 *
 * @param input rules ascending by date, up to the day of computing; lifetime km and h; the fleet's
 * zone.
 * @returns null for a disposed vehicle or where no interval is in force; `no-baseline` where there
 * is nothing to count from.
 * @example dueLineOf({ rules: [{ from: '2020-01-01', rule }], baseline: { kind: 'job', on: '2024-01-31', … }, … }) // every month: dueOn '2024-02-29'
 */
export function dueLineOf(input: DueLineInput): DuePoint | NoBaseline | null {
  const { baseline, status } = input;
  const rule = input.rules.at(-1)?.rule ?? null;
  if (status === 'disposed' || rule === null) return null;
  if (baseline === null) return { state: 'no-baseline' };
  const cycle = cycleOf(rule, baseline);
  const margins = marginsOf(rule, cycle);
  const { point, basis } = input.postponement
    ? { point: postponedPoint(input.postponement, cycle), basis: [message('basis-postponed')] }
    : pointOf(input, baseline);
  const season = input.postponement ? null : seasonOf(input, baseline, margins.window.days);
  if (season === null && Object.values(point).every((limit) => limit === null) && !hasLimit(cycle))
    return null;
  const days = [point.time?.on ?? null, season].filter((on) => on !== null);
  const limits = datedLimits(input, baseline, point, days, margins);
  return {
    state: 'dated',
    ...combine(limits),
    dueAt: {
      odometerLifetimeKm: point.km?.at ?? null,
      engineHoursLifetime: point.hours?.at ?? null,
      on: days.toSorted()[0] ?? null,
    },
    needsReading: isReadingNeeded(input.postponement ? point : cycle, limits, status === 'in-use'),
    basis: [
      ...basis,
      ...(season === null ? [] : [message('basis-before-season', { days: DAYS_BEFORE_SEASON })]),
      ...margins.basis,
      ...rateBasis(input, point),
    ],
  };
}

/** Each limit with the days on which its window opens, and on which it is due and late. */
function datedLimits(
  input: DueLineInput,
  baseline: Baseline,
  point: Point,
  days: readonly string[],
  { window, grace }: Margins,
): DatedLimit[] {
  const distance = datesOf(input.distance, baseline.odometerLifetimeKm, baseline, input);
  const engineHours = datesOf(input.engineHours, baseline.engineHoursLifetime, baseline, input);
  return [
    ...(point.km ? [counterLimit('distance', point.km, window.km, grace.km, distance)] : []),
    ...days.map((on): DatedLimit => ({
      trigger: 'time',
      opens: byCalendar(later(addDays(on, -window.days), baseline.on)),
      due: byCalendar(on),
      late: byCalendar(addDays(on, grace.days)),
    })),
    ...(point.hours
      ? [counterLimit('engine-hours', point.hours, window.hours, grace.hours, engineHours)]
      : []),
  ];
}

/** @param value of the counter at the baseline, lifetime km or h */
function datesOf(
  outlook: CounterOutlook | null,
  value: number | null,
  baseline: Baseline,
  { status, timeZone, ...input }: DueLineInput,
): CounterDates | null {
  if (outlook === null) return null;
  // Only where there is no reading at all: it costs more than the rest of the line.
  const isUnread = value !== null && outlook.last === null;
  return {
    outlook,
    start: isUnread ? { at: startOfDay(baseline.on, timeZone), value } : null,
    isUsed: status === 'in-use',
    inUseSince: input.inUseSince ?? null,
    notBefore: baseline.on,
    timeZone,
  };
}

function pointOf(input: DueLineInput, baseline: Baseline): { point: Point; basis: Message[] } {
  const known = input.rules.filter(
    (entry): entry is { from: string; rule: ResolvedRule } => entry.rule !== null,
  );
  const atBaseline = known.findLastIndex((entry) => entry.from <= baseline.on);
  const first = known[Math.max(0, atBaseline)]!;
  let point = firstPoint(first.rule, baseline, input.scheduleOrigin);
  const basis = [
    message('basis-counted-from', { on: baseline.on, from: baseline.kind === 'job' ? 'job' : 'service' }),
  ];
  // A plan that came after the baseline brings a limit that nothing was used of before: it is
  // carried over from nothing.
  if (atBaseline === -1 && first.from > baseline.on) {
    point = carryOver(
      { km: null, hours: null, time: null },
      first.rule,
      baseline,
      first.from,
      countersOn(input, first.from),
    );
  }
  let inForce = first.rule;
  for (const { from, rule } of known.slice(Math.max(0, atBaseline) + 1)) {
    if (!isSameCycle(cycleOf(inForce, baseline), cycleOf(rule, baseline))) {
      point = carryOver(point, rule, baseline, from, countersOn(input, from));
      basis.push(message('basis-interval-changed', { on: from }));
    }
    inForce = rule;
  }
  return { point, basis };
}

function hasLimit(cycle: Every): boolean {
  return cycle.km !== null || cycle.months !== null || cycle.hours !== null;
}

/**
 * The day before the next season, counted from when the plan began to ask for it where that came
 * after the baseline.
 */
function seasonOf(input: DueLineInput, baseline: Baseline, windowDays: number): string | null {
  const known = input.rules.filter((entry) => entry.rule !== null);
  if (known.at(-1)?.rule?.beforeSeason !== true) return null;
  const asksSince = known[known.findLastIndex((entry) => entry.rule?.beforeSeason !== true) + 1]!;
  return dueBeforeSeason(input.inUseMonths ?? null, {
    doneOn: baseline.on,
    askedFrom: later(asksSince.from, baseline.on),
    windowDays,
  });
}

function isSameCycle(left: Every, right: Every): boolean {
  return left.km === right.km && left.months === right.months && left.hours === right.hours;
}

function countersOn(input: DueLineInput, on: string): { km: number | null; hours: number | null } {
  const at = startOfDay(on, input.timeZone);
  const valueAt = (outlook: CounterOutlook | null) => {
    if (outlook === null) return null;
    const known = outlook.valueAt(at);
    if (known !== null || outlook.last === null || at <= outlook.last.at) return known;
    if (outlook.rate === null || input.status !== 'in-use') return outlook.last.value;
    const last = atRest(outlook.last, input.inUseSince ?? null, input.timeZone);
    return estimateNow(outlook.rate, last, at, input.timeZone);
  };
  return { km: valueAt(input.distance), hours: valueAt(input.engineHours) };
}

function counterLimit(
  trigger: 'distance' | 'engine-hours',
  point: Counted,
  window: number,
  grace: number,
  dates: CounterDates | null,
): DatedLimit {
  const day = (value: number) => (dates === null ? null : whenReached(value, dates));
  return { trigger, opens: day(point.at - window), due: day(point.at), late: day(point.at + grace) };
}

function isReadingNeeded(
  wanted: { km: unknown; hours: unknown },
  limits: readonly DatedLimit[],
  isUsed: boolean,
): boolean {
  if (!isUsed) return false;
  const hasDate = (trigger: DatedLimit['trigger']) =>
    limits.some((limit) => limit.trigger === trigger && limit.due !== null);
  return (wanted.km !== null && !hasDate('distance')) || (wanted.hours !== null && !hasDate('engine-hours'));
}

function rateBasis(input: DueLineInput, point: Point): Message[] {
  const basis: Message[] = [];
  if (point.km && input.distance?.rate)
    basis.push(
      message('basis-rate-method', { counter: 'distance', method: rateMethod(input.distance.rate) }),
    );
  if (point.hours && input.engineHours?.rate)
    basis.push(
      message('basis-rate-method', { counter: 'hours', method: rateMethod(input.engineHours.rate) }),
    );
  return basis;
}
