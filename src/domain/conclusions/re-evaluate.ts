import { evaluateReadingOfJob } from '../readings/evaluate-reading.js';
import type { ReadingRecord, ReEvaluationRecord, VehicleHistory } from './vehicle-history.js';

type Facts = Pick<VehicleHistory, 'jobs' | 'readings'>;

/**
 * The latest strength that was read of the coolant in the system at an instant; null where none was
 * since it was last replaced. A job's freeze point that its report lists before a fill was read of
 * what went out.
 *
 * @param upTo epoch milliseconds
 */
export function latestStrength({ jobs, readings }: Facts, upTo: number): ReadingRecord | null {
  const reading = (readings ?? []).findLast(({ kind, at }) => kind === 'freeze-point' && at <= upTo);
  const replacedAt = jobs.findLast(
    ({ at, lines }) =>
      at <= upTo &&
      lines.some(
        ({ component, action }) => component === 'coolant' && (action === 'replace' || action === 'flush'),
      ),
  )?.at;
  if (reading === undefined || reading.at < (replacedAt ?? -Infinity)) return null;
  return isFilledAfter(reading, readings ?? []) ? null : reading;
}

function isFilledAfter({ jobId, position }: ReadingRecord, readings: readonly ReadingRecord[]): boolean {
  if (jobId === null) return false;
  return readings.some(
    (other) => other.jobId === jobId && other.kind === 'fill' && (other.position ?? 0) > (position ?? 0),
  );
}

/**
 * Judges a vehicle's latest strength again if its lowest temperature has changed since. A colder
 * one always makes a new verdict; a milder one only if the verdict changes, so nobody adjusts
 * coolant needlessly.
 *
 * @param at now, epoch milliseconds
 * @returns null if there is nothing to judge
 */
export function reEvaluate(history: VehicleHistory, at: number): Omit<ReEvaluationRecord, 'id'> | null {
  const lowC = history.designLowTemperatureC;
  const reading = latestStrength(history, at);
  if (lowC === null || reading === null) return null;
  const standing = history.reEvaluations.findLast(({ readingId }) => readingId === reading.id) ?? reading;
  const judgedByC = standing.limits.designLowTemperatureC ?? null;
  if (judgedByC === lowC) return null;
  const limits = { ...reading.limits, designLowTemperatureC: lowC };
  const together = (history.readings ?? []).filter(
    ({ id, jobId }) => id === reading.id || (jobId !== null && jobId === reading.jobId),
  );
  const evaluation = evaluateReadingOfJob(
    together.map(({ canonical }) => canonical),
    together.indexOf(reading),
    limits,
  );
  const isColder = judgedByC === null || lowC < judgedByC;
  if (!isColder && evaluation.verdict === standing.evaluation.verdict) return null;
  return {
    readingId: reading.id,
    at,
    evaluation,
    limits,
    odometerLifetimeKm: null,
    engineHoursLifetime: null,
  };
}

/**
 * The re-evaluations that count: those of what was still the latest strength when they were made,
 * by all that is known now.
 */
export function standingReEvaluations(history: VehicleHistory): ReEvaluationRecord[] {
  return history.reEvaluations.filter(({ readingId, at }) => latestStrength(history, at)?.id === readingId);
}
