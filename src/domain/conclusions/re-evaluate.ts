import { evaluateReadingOfJob } from '../readings/evaluate-reading.js';
import { type CircuitName, isSameCircuit } from '../vehicles/circuits.js';
import type { ReadingRecord, ReEvaluationRecord, VehicleHistory } from './vehicle-history.js';

type Facts = Pick<VehicleHistory, 'jobs' | 'readings'>;

/**
 * The latest strength that was read of the coolant in a circuit at an instant; null where none was
 * since it was last replaced. A job's freeze point that its report lists before a fill was read of
 * what went out.
 *
 * @param upTo epoch milliseconds
 * @param circuit null: the first
 */
export function latestStrength(
  { jobs, readings }: Facts,
  upTo: number,
  circuit: CircuitName | null = null,
): ReadingRecord | null {
  const isIn = (fact: { circuit?: CircuitName | null }): boolean => isSameCircuit(fact, { circuit });
  const reading = (readings ?? []).findLast(
    (candidate) => candidate.kind === 'freeze-point' && candidate.at <= upTo && isIn(candidate),
  );
  const replacedAt = jobs.findLast(
    ({ at, lines }) =>
      at <= upTo &&
      lines.some(
        (line) =>
          line.component === 'coolant' &&
          (line.action === 'replace' || line.action === 'flush') &&
          isIn(line),
      ),
  )?.at;
  if (reading === undefined || reading.at < (replacedAt ?? -Infinity)) return null;
  return isFilledAfter(reading, readings ?? []) ? null : reading;
}

function isFilledAfter(reading: ReadingRecord, readings: readonly ReadingRecord[]): boolean {
  const { jobId, position } = reading;
  if (jobId === null) return false;
  return readings.some(
    (other) =>
      other.jobId === jobId &&
      other.kind === 'fill' &&
      isSameCircuit(other, reading) &&
      (other.position ?? 0) > (position ?? 0),
  );
}

/**
 * Judges the latest strength in each circuit again, as `reEvaluateIn`.
 *
 * @param at now, epoch milliseconds
 */
export function reEvaluate(history: VehicleHistory, at: number): Omit<ReEvaluationRecord, 'id'>[] {
  const circuits = new Set((history.readings ?? []).map(({ circuit }) => circuit ?? null));
  return [...circuits].flatMap((circuit) => reEvaluateIn(history, at, circuit) ?? []);
}

/**
 * Judges the latest strength in a circuit again if the lowest temperature has changed since. A
 * colder one always makes a new verdict; a milder one only if the verdict changes, so nobody
 * adjusts coolant needlessly.
 *
 * @param at now, epoch milliseconds
 * @returns null if there is nothing to judge
 */
function reEvaluateIn(
  history: VehicleHistory,
  at: number,
  circuit: CircuitName | null,
): Omit<ReEvaluationRecord, 'id'> | null {
  const lowC = history.designLowTemperatureC;
  const reading = latestStrength(history, at, circuit);
  if (lowC === null || reading === null) return null;
  const standing = history.reEvaluations.findLast(({ readingId }) => readingId === reading.id) ?? reading;
  const judgedByC = standing.limits.designLowTemperatureC ?? null;
  if (judgedByC === lowC) return null;
  const limits = { ...reading.limits, designLowTemperatureC: lowC };
  const together = (history.readings ?? []).filter(
    (other) =>
      other.id === reading.id ||
      (other.jobId !== null && other.jobId === reading.jobId && isSameCircuit(other, reading)),
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
  const circuitOf = new Map((history.readings ?? []).map(({ id, circuit }) => [id, circuit ?? null]));
  return history.reEvaluations.filter(
    ({ readingId, at }) => latestStrength(history, at, circuitOf.get(readingId) ?? null)?.id === readingId,
  );
}
