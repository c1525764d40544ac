import type { JobRecord, VehicleHistory } from '../../domain/conclusions/vehicle-history.js';
import type { Action, WorkLine } from '../../domain/intervals/types.js';
import type { ReadingContext } from '../../domain/readings/contract/reading-context.js';
import { type CircuitName, isSameCircuit } from '../../domain/vehicles/circuits.js';
import type { Occasion } from './occasion.js';
import { pouredBy, strengthBy } from '../../domain/readings/evaluate-reading.js';

type Known = Required<
  Pick<
    ReadingContext,
    'pouredSinceReplacement' | 'basesSinceFlush' | 'strengthPercent' | 'stayedStrengthPercent'
  >
>;

/**
 * What a vehicle's records say about the coolant in one circuit, up to an occasion.
 *
 * @param circuit null: the first
 */
export function coolantSoFar(
  occasion: Occasion,
  { jobs: allJobs, readings }: Pick<VehicleHistory, 'jobs' | 'readings'>,
  circuit: CircuitName | null,
): Known {
  const at = occasion.at.getTime();
  const inCircuit = (line: WorkLine): boolean => isSameCircuit(line, { circuit });
  const lines = (occasion.job?.lines ?? []).filter(inCircuit);
  const jobs = allJobs.map((job) => ({ at: job.at, lines: job.lines.filter(inCircuit) }));
  const flushes = treatsCoolant(lines, 'flush');
  const replaces = flushes || treatsCoolant(lines, 'replace');
  const replacedAt = lastTime(jobs, at, 'replace', 'flush');
  const flushedAt = lastTime(jobs, at, 'flush');
  const earlier = (readings ?? []).filter(
    (reading) => reading.at <= at && isSameCircuit(reading, { circuit }),
  );
  const poured = earlier.flatMap(({ canonical, at: pouredAt }) => {
    const what = pouredBy(canonical);
    return what === null ? [] : [{ ...what, at: pouredAt }];
  });
  const strengthPercent =
    earlier
      .filter(({ at: knownAt }) => knownAt >= replacedAt)
      .map(({ canonical, evaluation }) => strengthBy(canonical, evaluation.computed))
      .findLast((strength) => strength !== null) ?? null;
  return {
    pouredSinceReplacement: replaces
      ? []
      : poured.flatMap(({ at: pouredAt, ...what }) => (pouredAt >= replacedAt ? [what] : [])),
    basesSinceFlush: flushes
      ? []
      : poured.flatMap(({ at: pouredAt, base }) => (pouredAt >= flushedAt ? (base ?? []) : [])),
    strengthPercent: replaces ? null : strengthPercent,
    // After a flush, only water stays in the system.
    stayedStrengthPercent: flushes ? 0 : strengthPercent,
  };
}

function treatsCoolant(lines: readonly WorkLine[], action: Action): boolean {
  return lines.some((line) => line.component === 'coolant' && line.action === action);
}

function lastTime(
  jobs: readonly Pick<JobRecord, 'at' | 'lines'>[],
  at: number,
  ...actions: Action[]
): number {
  const last = jobs.findLast(
    (job) => job.at <= at && actions.some((action) => treatsCoolant(job.lines, action)),
  );
  return last?.at ?? -Infinity;
}
