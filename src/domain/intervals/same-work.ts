import { isSameCircuit } from '../vehicles/circuits.js';
import type { WorkLine } from './types.js';

/** Two reports of one job are made within this of each other (common practice, no source). */
const SAME_WORK_WITHIN_MS = 60 * 60_000;

/** What is compared to find two reports of the same work. */
export interface ReportedJob {
  id: string;
  /** Epoch milliseconds. */
  at: number;
  /** Done before records began; its day is known, not its hour. */
  isBaseline: boolean;
  lines: readonly WorkLine[];
}

/**
 * Finds the job that a new report may duplicate: two colleagues report work on the same vehicle, or
 * one report is posted twice without an id. A duplicate is of the same vehicle, within the hour,
 * and shares a line with the same component, action, item and circuit.
 *
 * @param job the new one. @param others those of the same vehicle that are not voided, in any
 * order; `job` itself may be among them
 * @returns the nearest in time, the earlier id where two are equally near; null when none overlaps
 * @example coolant replaced at 10:00 and at 10:40: the same work; at 11:01: another
 */
export function jobOfSameWork<T extends ReportedJob>(job: ReportedJob, others: readonly T[]): T | null {
  const distanceMs = (other: T): number => Math.abs(other.at - job.at);
  return others
    .filter(
      (other) =>
        other.id !== job.id &&
        !other.isBaseline &&
        distanceMs(other) <= SAME_WORK_WITHIN_MS &&
        other.lines.some((line) => job.lines.some((own) => isSameLine(own, line))),
    )
    .reduce<T | null>((nearest, other) => {
      if (nearest === null) return other;
      const nearer = distanceMs(other) - distanceMs(nearest);
      return nearer < 0 || (nearer === 0 && other.id < nearest.id) ? other : nearest;
    }, null);
}

/** Whether two lines say the same work in the same circuit. */
export function isSameLine(a: WorkLine, b: WorkLine): boolean {
  return a.component === b.component && a.action === b.action && a.item === b.item && isSameCircuit(a, b);
}
