import { Temporal } from 'temporal-polyfill';
import type { FleetRoutine } from '../across-fleets/cross-fleet-database.js';
import { dailyPattern, secondsAfterHour } from './morning-spread.js';

/**
 * The daily routines of every fleet: after which hour in the fleet's time zone each one runs, and
 * which column records that it ran. What people wait for comes first.
 */
export const ROUTINES = [
  {
    job: 'sweep-fleet',
    name: 'morning',
    hour: 6,
    priority: 10,
    doneOn: ({ sweptOn }: FleetRoutine) => sweptOn,
  },
  {
    job: 'refresh-cohorts',
    name: 'night',
    hour: 4,
    priority: 20,
    doneOn: ({ cohortsOn }: FleetRoutine) => cohortsOn,
  },
] as const;
export type Routine = (typeof ROUTINES)[number];

/**
 * Routines that run in a different minute for each fleet. If a run is missed, the next one does its
 * work.
 */
export const UNHURRIED = [
  { job: 'prune-events', name: 'events', hours: '*', priority: 30 },
  { job: 'prune-idempotency-records', name: 'idempotency', hours: '*', priority: 30 },
  { job: 'apply-retention', name: 'retention', hours: '3', priority: 30 },
] as const;

export type Scheduled = Routine | (typeof UNHURRIED)[number];

/** Job data that makes a job do nothing if the fleet's routine has already run today. */
export const ONCE_A_DAY = { once: 'a day' };

export function dataOf(scheduled: Scheduled, fleetId: string): Record<string, string> {
  return 'hour' in scheduled ? { fleetId, ...ONCE_A_DAY } : { fleetId };
}

export function patternOf(scheduled: Scheduled, fleetId: string): string {
  return 'hour' in scheduled
    ? dailyPattern(fleetId, scheduled.hour)
    : `${parseInt(fleetId.slice(-4), 16) % 60} ${scheduled.hours} * * *`;
}

/** A fleet's routine that should have run today but did not. */
export interface Missed {
  routine: Routine;
  fleetId: string;
  /** Date in the fleet's time zone. */
  day: string;
  /** When it should have begun. */
  at: number;
}

/** How long the queue's own schedule has to run a routine before it counts as missed. */
const GRACE_MS = 60_000;

/** Today's date in a time zone, and the instant at which each routine is due. */
interface Day {
  day: string;
  hours: ReadonlyMap<Routine, number>;
}

function dayIn(timeZone: string, now: Date): Day {
  const today = Temporal.Instant.fromEpochMilliseconds(now.getTime())
    .toZonedDateTimeISO(timeZone)
    .toPlainDate();
  const hours = ROUTINES.map((routine): [Routine, number] => {
    const plainTime = { hour: routine.hour };
    return [routine, today.toZonedDateTime({ timeZone, plainTime }).epochMilliseconds];
  });
  return { day: today.toString(), hours: new Map(hours) };
}

/**
 * Returns the routines that fleets have missed today. The day is computed once per time zone,
 * because there are many fleets and few zones.
 *
 * @param complain is called for every fleet whose time zone is invalid
 */
export function missedBy(
  fleets: readonly FleetRoutine[],
  now: Date,
  complain: (fleetId: string, error: unknown) => void,
): Missed[] {
  const days = new Map<string, Day>();
  const missed: Missed[] = [];
  for (const fleet of fleets) {
    const { fleetId, timeZone } = fleet;
    try {
      const today = days.get(timeZone) ?? dayIn(timeZone, now);
      days.set(timeZone, today);
      for (const [routine, hour] of today.hours) {
        const at = hour + 1000 * secondsAfterHour(fleetId);
        const doneOn = routine.doneOn(fleet);
        const isDone = doneOn !== null && doneOn >= today.day;
        if (!isDone && now.getTime() >= at + GRACE_MS) missed.push({ routine, fleetId, day: today.day, at });
      }
    } catch (error) {
      complain(fleetId, error);
    }
  }
  return missed;
}
