import { addDays } from '../calendar/civil-date.js';
import { civilDateAt } from '../calendar/zone.js';
import { byCalendar, combine, later, whenReached, type DatedLimit } from './limit-dates.js';
import type { CounterOutlook, DuePoint, FollowUpContext, FollowUpUrgency, OpenFollowUp } from './types.js';

interface FollowUpLimits {
  dueDays: number;
  dueKm: number | null;
  lateDays: number;
  lateKm: number;
}

/** Common practice, no published source. */
const LIMITS: Record<FollowUpUrgency, FollowUpLimits> = {
  recheck: { dueDays: 3, dueKm: 160, lateDays: 7, lateKm: 500 },
  'at-once': { dueDays: 0, dueKm: null, lateDays: 7, lateKm: 500 },
  soon: { dueDays: 7, dueKm: 500, lateDays: 14, lateKm: 1000 },
};

/** 1,000 km for 25 h of running; common practice. */
const HOURS_PER_KM = 25 / 1000;

/**
 * When a follow-up is due: it opens at once. A recheck of the coolant is due after 3 days or 160 km, late after 7 days or 500 km, not
 * before one heat cycle (the day after the work at the earliest), and not while the vehicle is laid up; after that its days count from the
 * first day in use. After a failed reading it is due that very day and late after 7 days or 500 km; after an inconclusive one due after 7 days or
 * 500 km, late after 14 days or 1,000 km. An engine-hour limit of 25 h for 1,000 km runs beside. All common practice, no published source.
 *
 * @returns null for a disposed vehicle.
 * @example followUpLine(recheck opened on 2026-04-02, context).dueOn // '2026-04-05' unless 160 km are run before
 */
export function followUpLine(seed: OpenFollowUp, context: FollowUpContext): DuePoint | null {
  const { status, timeZone } = context;
  if (status === 'disposed') return null;
  const limits = LIMITS[seed.urgency];
  const openedOn = civilDateAt(seed.openedAt, timeZone);
  const isRecheck = seed.action === 'recheck';
  const from = isRecheck && context.inUseSince !== null ? later(context.inUseSince, openedOn) : openedOn;
  const afterHeatCycle = isRecheck ? addDays(from, 1) : from;
  const counter = (
    trigger: 'distance' | 'engine-hours',
    outlook: CounterOutlook | null,
    start: number | null,
    perKm: number,
  ): DatedLimit | null => {
    if (outlook === null || start === null) return null;
    const dates = {
      outlook,
      start: { at: seed.openedAt, value: start },
      isUsed: status === 'in-use',
      inUseSince: context.inUseSince,
      notBefore: afterHeatCycle,
      timeZone,
    };
    return {
      trigger,
      opens: null,
      due: limits.dueKm === null ? null : whenReached(start + limits.dueKm * perKm, dates),
      late: whenReached(start + limits.lateKm * perKm, dates),
    };
  };
  const { odometerLifetimeKmAtOpening: km, engineHoursLifetimeAtOpening: hours } = context;
  const dated: DatedLimit[] =
    isRecheck && status === 'laid-up'
      ? []
      : [
          {
            trigger: 'time' as const,
            opens: byCalendar(from),
            due: byCalendar(later(addDays(from, limits.dueDays), afterHeatCycle)),
            late: byCalendar(addDays(from, limits.lateDays)),
          },
          counter('distance', context.distance, km, 1),
          counter('engine-hours', context.engineHours, hours, HOURS_PER_KM),
        ].filter((limit) => limit !== null);
  const hasKm = limits.dueKm !== null;
  return {
    state: 'dated',
    ...combine(dated),
    dueAt: {
      odometerLifetimeKm: hasKm && km !== null ? km + limits.dueKm! : null,
      engineHoursLifetime: hasKm && hours !== null ? hours + limits.dueKm! * HOURS_PER_KM : null,
      on: dated[0]?.due?.on ?? null,
    },
    needsReading: false,
    basis: [`${seed.cause}; days and distance of a follow-up: common practice`],
  };
}
