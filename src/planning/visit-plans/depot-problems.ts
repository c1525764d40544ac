import type { Depot } from '../../entities/depot.entity.js';
import { civilDateOf, epochDayOf } from '../../domain/calendar/civil-date.js';
import { labourOf, type LineLabour } from '../../domain/visits/labour-hours.js';
import type { LineToPlan, VisitProblem, VisitRates } from '../../domain/visits/types.js';
import { visitHours } from '../../domain/visits/labour-hours.js';
import { atOnceFirst } from '../../domain/visits/at-once-first.js';
import {
  USUAL_LABOUR_HOURS,
  USUAL_WEEKDAYS,
  workingDays,
  type WorkingTime,
} from '../../domain/visits/working-days.js';
import type { LineRow } from './visit-plans.queries.js';
import type { VisitPlan } from '../../entities/visit-plan.entity.js';

export function workingTimeOf({ workingDays: weekdays, closedOn }: Depot): WorkingTime {
  return { weekdays: weekdays ?? USUAL_WEEKDAYS, closedOn };
}

export function labourHoursOf({ labourHoursPerDay }: Depot): number {
  return labourHoursPerDay ?? USUAL_LABOUR_HOURS;
}

export function ratesOf(
  plan: Pick<VisitPlan, 'labourRate' | 'downtimeCostPerDay' | 'latenessCostPerDay'>,
): VisitRates {
  return {
    labourPerHour: plan.labourRate,
    downtimePerDay: plan.downtimeCostPerDay,
    latenessPerDay: plan.latenessCostPerDay,
  };
}

/** The dates of a line as they are stored. A line that is never late has the date `infinity`. */
export interface StoredDates {
  windowOpensOn: string;
  dueOn: string;
  lateOn: string;
  countsFrom: string | null;
  isAtOnce?: boolean;
}

export function toPlan(
  { id, vehicleId }: { id: string; vehicleId: string },
  dates: StoredDates,
  labour: LineLabour,
  fixedOn: string | null = null,
): LineToPlan {
  const dueOn = epochDayOf(dates.dueOn);
  return {
    id,
    vehicleId,
    labour,
    windowOpensOn: epochDayOf(dates.windowOpensOn),
    dueOn,
    lateOn: dates.lateOn === 'infinity' ? null : epochDayOf(dates.lateOn),
    lifeDays: dates.countsFrom === null ? null : dueOn - epochDayOf(dates.countsFrom),
    fixedOn: fixedOn === null ? null : epochDayOf(fixedOn),
    isAtOnce: dates.isAtOnce ?? false,
  };
}

/**
 * A manager's decision about a line: in which visit it comes in, and on which day. Null day: not at
 * all.
 */
export interface Decision {
  visitId: string;
  depotId: string;
  day: string | null;
}

/** What must be planned for one depot. */
export interface DepotProblem {
  depot: Depot;
  problem: VisitProblem;
  /** Lines that a manager has decided to leave for later. */
  dropped: LineToPlan[];
}

/**
 * The planning problem of a depot. Null when the depot has no working day within a year.
 *
 * @param decided decisions, by line; those for another depot no longer count
 * @param taken the hours that confirmed visits take, by day
 * @param from the first day that can still be planned
 */
export function problemOf(
  plan: VisitPlan,
  depot: Depot,
  rows: readonly LineRow[],
  decided: ReadonlyMap<string, Decision>,
  taken: ReadonlyMap<string, number>,
  from: string,
): DepotProblem | null {
  const { days, dayAfter } = workingDays(from, plan.toOn, workingTimeOf(depot));
  if (dayAfter === null) return null;
  const lines: LineToPlan[] = [];
  const dropped: LineToPlan[] = [];
  for (const row of rows) {
    const decision = decided.get(row.id);
    const day = decision?.depotId === depot.id ? decision.day : undefined;
    const line = toPlan(row, row, labourOf(row, row.labour), day ?? null);
    (day === null ? dropped : lines).push(line);
  }
  const allDays = [...new Set([...days, ...lines.flatMap(({ fixedOn }) => fixedOn ?? [])])].sort(
    (a, b) => a - b,
  );
  const hoursOn = new Map(
    allDays.map((day) => {
      const free = labourHoursOf(depot) - (taken.get(civilDateOf(day)) ?? 0);
      // A decision stays even if the depot now has fewer hours that day. Nothing more is then added
      // to the day.
      return [day, Math.max(0, free, hoursDecided(lines, day))];
    }),
  );
  const problem = atOnceFirst({ lines, days: allDays, hoursOn, dayAfter, rates: ratesOf(plan) });
  return { depot, dropped, problem };
}

function hoursDecided(lines: readonly LineToPlan[], day: number): number {
  const byVehicle = new Map<string, LineToPlan[]>();
  for (const line of lines)
    if (line.fixedOn === day) byVehicle.set(line.vehicleId, [...(byVehicle.get(line.vehicleId) ?? []), line]);
  return [...byVehicle.values()].reduce((sum, visit) => sum + visitHours(visit), 0);
}
