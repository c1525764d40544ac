import { addDays } from '../calendar/civil-date.js';
import { civilDateAt, startOfDay } from '../calendar/zone.js';
import { project, staleFrom } from '../usage/projection.js';
import type { UsagePoint } from '../usage/types.js';
import type { CivilDate, CounterOutlook, DueDates, Trigger } from './types.js';

/** The day on which something is reached, and how sure that is. */
export interface LimitDate {
  on: CivilDate;
  earliestOn: CivilDate;
  latestOn: CivilDate;
  /**
   * The first day on which the estimate behind it is stale; null: it comes from the calendar or a
   * reading.
   */
  staleOn: CivilDate | null;
}

/** One limit of a line: the days on which its window opens, it comes due, and its grace ends. */
export interface DatedLimit {
  trigger: Trigger;
  opens: LimitDate | null;
  due: LimitDate | null;
  late: LimitDate | null;
}

export function byCalendar(on: CivilDate): LimitDate {
  return { on, earliestOn: on, latestOn: on, staleOn: null };
}

/** What is needed to turn values of one counter into days. */
export interface CounterDates {
  outlook: CounterOutlook;
  /** Used in place of the last reading if there is none: the counter at the baseline. */
  start: UsagePoint | null;
  /** Whether the vehicle is being used: laid up, a value not yet reached has no day. */
  isUsed: boolean;
  /**
   * The first day in use again after being laid up: what a reading before it said still holds on
   * that day.
   */
  inUseSince: CivilDate | null;
  /** No day before this one. */
  notBefore: CivilDate;
  timeZone: string;
}

/**
 * The day on which a counter reaches a value: that of the readings that crossed it, else by
 * projection; null when neither can say.
 */
export function whenReached(value: number, dates: CounterDates): LimitDate | null {
  const { outlook, timeZone, notBefore } = dates;
  const crossedAt = outlook.crossedAt(value);
  if (crossedAt !== null) return byCalendar(later(civilDateAt(crossedAt, timeZone), notBefore));
  const last = outlook.last ?? dates.start;
  if (!dates.isUsed || outlook.rate === null || last === null) return null;
  const projection = project(outlook.rate, atRest(last, dates.inUseSince, timeZone), value, timeZone);
  if (projection === null) return null;
  return {
    on: later(projection.on, notBefore),
    earliestOn: later(projection.earliestOn, notBefore),
    latestOn: later(projection.latestOn, notBefore),
    staleOn: staleFrom(civilDateAt(last.at, timeZone)),
  };
}

/** A reading moved on to the first day in use again: nothing was run between. */
export function atRest(last: UsagePoint, inUseSince: CivilDate | null, timeZone: string): UsagePoint {
  if (inUseSince === null || civilDateAt(last.at, timeZone) >= inUseSince) return last;
  return { at: startOfDay(inUseSince, timeZone), value: last.value };
}

/** The days of a line from all its limits: the earliest of each kind. */
export interface Combined extends DueDates {
  earliestOn: CivilDate | null;
  latestOn: CivilDate | null;
  trigger: Trigger | null;
  staleOn: CivilDate | null;
}

/**
 * The days of a line from those of its limits: the earliest of each, and `lateOn` not before the
 * day after `dueOn`.
 *
 * A line that is late by an estimate alone must not stay so once the estimate is stale (60 days
 * after the last reading), and states are read off the stored days without computing anew. So an
 * estimated lateness carries its own end, `lateLapsesOn`; one that begins after that is shown as
 * the projected day it is, and is never in force; and `lateForGoodOn` is the day by the calendar or
 * a reading, which does not lapse.
 */
export function combine(limits: readonly DatedLimit[]): Combined {
  const due = earliestOf(limits.map((limit) => limit.due));
  const dueOn = due?.on ?? null;
  const after = dueOn === null ? null : addDays(dueOn, 1);
  const lates = limits.map((limit) => limit.late).filter((late) => late !== null);
  const notBeforeDue = (late: LimitDate) => ({
    ...late,
    on: after === null ? late.on : later(late.on, after),
  });
  const firm = earliestOf(lates.filter((late) => late.staleOn === null).map(notBeforeDue));
  const estimated = earliestOf(lates.map(notBeforeDue).filter((late) => late.staleOn !== null));
  const isEstimateFirst = estimated !== null && (firm === null || estimated.on < firm.on);
  const lapses = isEstimateFirst && (firm === null || firm.on > estimated.staleOn!);
  return {
    windowOpensOn: earliestOf(limits.map((limit) => limit.opens))?.on ?? null,
    dueOn,
    lateOn: (isEstimateFirst ? estimated : firm)?.on ?? null,
    lateLapsesOn: lapses ? estimated.staleOn : null,
    lateForGoodOn: lapses ? (firm?.on ?? null) : null,
    earliestOn: earliestDay(limits.map((limit) => limit.due?.earliestOn)),
    latestOn: earliestDay(limits.map((limit) => limit.due?.latestOn)),
    trigger: limits.find((limit) => limit.due !== null && limit.due === due)?.trigger ?? null,
    staleOn: earliestDay(limits.flatMap((limit) => [limit.due?.staleOn, limit.late?.staleOn])),
  };
}

export function later(left: CivilDate, right: CivilDate): CivilDate {
  return left > right ? left : right;
}

function earliestOf(dates: readonly (LimitDate | null)[]): LimitDate | null {
  let earliest: LimitDate | null = null;
  for (const date of dates)
    if (date !== null && (earliest === null || date.on < earliest.on)) earliest = date;
  return earliest;
}

function earliestDay(days: readonly (CivilDate | null | undefined)[]): CivilDate | null {
  let earliest: CivilDate | null = null;
  for (const day of days) if (day && (earliest === null || day < earliest)) earliest = day;
  return earliest;
}
