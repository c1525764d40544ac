import type { LineLabour } from './labour-hours.js';

/** A due line as the planning of visits sees it; days are counted from 1970-01-01. */
export interface LineToPlan {
  id: string;
  vehicleId: string;
  labour: LineLabour;
  windowOpensOn: number;
  dueOn: number;
  /** Null: it is never late. */
  lateOn: number | null;
  /**
   * Days between the last time and the due day; null where it is not known, and then going early
   * costs nothing.
   */
  lifeDays: number | null;
  /** A day that somebody has decided on; null: any. */
  fixedOn: number | null;
  /**
   * A reading found something unsafe: it goes before all other work from `dueOn` on. Missing: it
   * does not.
   */
  isAtOnce?: boolean;
}

/** Rates in any one currency. */
export interface VisitRates {
  labourPerHour: number;
  /** Per visit, because it takes the vehicle out of work for a day. */
  downtimePerDay: number;
  /** For each line and day after the day on which it is late. */
  latenessPerDay: number;
}

/** One depot and the lines of its vehicles. */
export interface VisitProblem {
  lines: readonly LineToPlan[];
  /** Working days in ascending order. */
  days: readonly number[];
  /** Hours of labour that are free on each of those days. */
  hoursOn: ReadonlyMap<number, number>;
  /** The first working day after those. A line that is left out is costed as done then. */
  dayAfter: number;
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
