import type { Action, Component } from '../intervals/types.js';

/** A due line as the planning of visits sees it; days are counted from 1970-01-01. */
export interface LineToPlan {
  id: string;
  vehicleId: string;
  component: Component;
  action: Action;
  windowOpensOn: number;
  dueOn: number;
  lateOn: number;
  /** Days between the last time and the due day; null where it is not known, and then going early costs nothing. */
  lifeDays: number | null;
}

/** Rates in any one currency. */
export interface VisitRates {
  labourPerHour: number;
  /** For each visit: it takes the vehicle out of work for a day. */
  downtimePerDay: number;
  /** For each line and day after the day on which it is late. */
  latenessPerDay: number;
}

/** One depot and the lines of its vehicles. */
export interface VisitProblem {
  lines: readonly LineToPlan[];
  /** Working days in ascending order. */
  days: readonly number[];
  /** The first working day after those: where a line is reckoned to be done that is left out. */
  dayAfter: number;
  labourHoursPerDay: number;
  rates: VisitRates;
}

/** The day of each line by its id; null: left for after the planned days. */
export type Assignment = ReadonlyMap<string, number | null>;

export interface CostSplit {
  labour: number;
  downtime: number;
  lifeThrownAway: number;
  lateness: number;
  total: number;
}
