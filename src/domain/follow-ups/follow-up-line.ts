import { addDays } from '../calendar/civil-date.js';
import { civilDateAt } from '../calendar/zone.js';
import { HOURS_PER_1000_KM } from '../evaluation/common-practice.js';
import { byCalendar, combine, later, whenReached, type DatedLimit } from '../intervals/limit-dates.js';
import type {
  CivilDate,
  CounterOutlook,
  DuePoint,
  FollowUpContext,
  FollowUpUrgency,
  Postponement,
} from '../intervals/types.js';
import { message as intervalMessage } from '../intervals/messages.js';
import type { OpenFollowUp } from './follow-ups.js';
import { message } from './messages.js';

interface FollowUpLimits {
  dueDays: number;
  dueKm: number | null;
  lateDays: number;
  lateKm: number;
}

/** How soon each kind of follow-up is due, and late. Common practice, no published source. */
export const FOLLOW_UP_LIMITS: Record<FollowUpUrgency, FollowUpLimits> = {
  recheck: { dueDays: 3, dueKm: 160, lateDays: 7, lateKm: 500 },
  'at-once': { dueDays: 0, dueKm: null, lateDays: 7, lateKm: 500 },
  soon: { dueDays: 7, dueKm: 500, lateDays: 14, lateKm: 1000 },
};

/** How long before a day that was set the window opens. Common practice, no published source. */
const DAY_SET_LEAD_DAYS = 14;

export const HOURS_PER_KM = HOURS_PER_1000_KM / 1000;

/**
 * When a follow-up is due: it opens at once. A recheck of the coolant is due after 3 days or 160
 * km, late after 7 days or 500 km, not before one heat cycle (the day after the work at the
 * earliest), and not while the vehicle is laid up; after that its days count from the first day
 * in use. What is due at once is due that very day and late after 7 days or 500 km; what is due
 * soon after 7 days or 500 km, late after 14 days or 1,000 km. An engine-hour limit of 25 h for
 * 1,000 km runs beside. One that was put off is due where it was put off to, and late as much
 * after that as usual. So is one for which a day was set; it opens 14 days before. All common
 * practice, no published source.
 *
 * @returns null for a disposed vehicle.
 * @example followUpLine(recheck opened on 2026-04-02, context).dueOn // '2026-04-05' unless 160 km are run before
 */
export function followUpLine(seed: OpenFollowUp, context: FollowUpContext): DuePoint | null {
  const { status } = context;
  if (status === 'disposed') return null;
  const limits = FOLLOW_UP_LIMITS[seed.urgency];
  const isPutOff = context.postponement != null;
  const put = context.postponement ?? daySet(seed, context);
  const days = daysOf(seed, limits, { ...context, postponement: put });
  const km = valuesOf(limits, 1, context.odometerLifetimeKmAtOpening, put && { to: put.odometerLifetimeKm });
  const hours = valuesOf(
    limits,
    HOURS_PER_KM,
    context.engineHoursLifetimeAtOpening,
    put && { to: put.engineHoursLifetime },
  );
  const { from, dueOn, lateOn } = days;
  // A day far ahead opens its window when it comes near.
  const opensOn = put === null || isPutOff ? from : later(from, addDays(dueOn, -DAY_SET_LEAD_DAYS));
  const isResting = seed.action === 'recheck' && status === 'laid-up';
  const dated: DatedLimit[] = isResting
    ? []
    : [
        { trigger: 'time', opens: byCalendar(opensOn), due: byCalendar(dueOn), late: byCalendar(lateOn) },
        ...counterLimit('distance', context.distance, km, days.afterHeatCycle, seed, context),
        ...counterLimit('engine-hours', context.engineHours, hours, days.afterHeatCycle, seed, context),
      ];
  return {
    state: 'dated',
    ...combine(dated),
    dueAt: {
      odometerLifetimeKm: km.due,
      engineHoursLifetime: hours.due,
      on: isResting ? null : dueOn,
    },
    needsReading: false,
    basis: [
      ...seed.told,
      message('basis-follow-up-limits'),
      ...(isPutOff ? [intervalMessage('basis-postponed')] : []),
    ],
  };
}

/** The day that was set for it, without any limit of usage. */
function daySet({ dueOn, openedAt }: OpenFollowUp, { timeZone }: FollowUpContext): Postponement | null {
  if (dueOn === null) return null;
  const on = later(dueOn, civilDateAt(openedAt, timeZone));
  return { on, odometerLifetimeKm: null, engineHoursLifetime: null };
}

/** The days of a follow-up by the calendar. */
interface FollowUpDays {
  /** From when its days count. */
  from: CivilDate;
  /** Nothing is due before: a recheck waits for one heat cycle. */
  afterHeatCycle: CivilDate;
  dueOn: CivilDate;
  lateOn: CivilDate;
}

function daysOf(
  seed: OpenFollowUp,
  limits: FollowUpLimits,
  { inUseSince, postponement: put, timeZone }: FollowUpContext,
): FollowUpDays {
  const openedOn = civilDateAt(seed.openedAt, timeZone);
  const isRecheck = seed.action === 'recheck';
  const from = isRecheck && inUseSince !== null ? later(inUseSince, openedOn) : openedOn;
  const afterHeatCycle = isRecheck ? addDays(from, 1) : from;
  return {
    from,
    afterHeatCycle,
    dueOn: put?.on ?? later(addDays(from, limits.dueDays), afterHeatCycle),
    lateOn: put ? addDays(put.on, limits.lateDays - limits.dueDays) : addDays(from, limits.lateDays),
  };
}

/** No limit where the counter is not known. */
function counterLimit(
  trigger: 'distance' | 'engine-hours',
  outlook: CounterOutlook | null,
  { start, due, late }: CounterValues,
  notBefore: CivilDate,
  { openedAt }: OpenFollowUp,
  { status, inUseSince, timeZone }: FollowUpContext,
): DatedLimit[] {
  if (outlook === null || start === null) return [];
  const dates = {
    outlook,
    start: { at: openedAt, value: start },
    isUsed: status === 'in-use',
    inUseSince,
    notBefore,
    timeZone,
  };
  const reached = (value: number | null) => (value === null ? null : whenReached(value, dates));
  return [{ trigger, opens: null, due: reached(due), late: reached(late) }];
}

/**
 * Lifetime values of one counter: when the follow-up was opened, where it is due, and where it is
 * late.
 */
interface CounterValues {
  start: number | null;
  due: number | null;
  late: number | null;
}

/** @param put where it was put off on this counter; null: it was not */
function valuesOf(
  { dueKm, lateKm }: FollowUpLimits,
  perKm: number,
  start: number | null,
  put: { to: number | null } | null,
): CounterValues {
  if (put !== null)
    return { start, due: put.to, late: put.to === null ? null : put.to + (lateKm - (dueKm ?? 0)) * perKm };
  if (start === null) return { start, due: null, late: null };
  return { start, due: dueKm === null ? null : start + dueKm * perKm, late: start + lateKm * perKm };
}
