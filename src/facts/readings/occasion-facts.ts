import type { VehicleConclusion } from '../../conclusions/store/vehicle-conclusion.js';
import { NEVER, type StoredLine } from '../../domain/conclusions/stored-line.js';
import type {
  JobRecord,
  ReadingRecord,
  StoredUsage,
  VehicleHistory,
} from '../../domain/conclusions/vehicle-history.js';
import { worstOf } from '../../domain/evaluation/evaluation.js';
import { safetyFindings } from '../../domain/follow-ups/safety-findings.js';
import type { ReadingContext } from '../../domain/readings/contract/reading-context.js';
import type { JudgedUsageReading } from '../../domain/usage/types.js';
import type { HeldPart, JobOutcome, OpenedLine } from '../../entities/job-report.entity.js';
import { v7 as uuidv7 } from 'uuid';
import type { CircuitName } from '../../domain/vehicles/circuits.js';
import { message } from './messages.js';
import type { JudgedReading } from './judge-readings.js';
import type { Occasion, OccasionJob, Recorded } from './occasion.js';
import { jobOfSameWork } from '../../domain/intervals/same-work.js';

/**
 * Adds the facts of an occasion to a vehicle's history, in order of time.
 *
 * @returns the occasion's usage reading, null when it has none, and the earlier job of which this
 * one may be a duplicate
 */
export function addToHistory(
  history: VehicleHistory,
  occasion: Occasion,
  readings: Recorded['readings'],
  limitsIn: (circuit: CircuitName | null) => ReadingContext,
): { usage: StoredUsage | null; possibleDuplicateOfId: string | null } {
  const job = occasion.job && jobRecordOf(occasion, occasion.job);
  const possibleDuplicateOfId = (job && jobOfSameWork(job, history.jobs))?.id ?? null;
  const usage = usageOf(occasion, history);
  if (usage) insertSorted(history.usage.readings, usage);
  if (job) insertSorted(history.jobs, job);
  for (const reading of readings)
    insertSorted((history.readings ??= []), readingRecordOf(occasion, reading, limitsIn(reading.circuit)));
  return { usage, possibleDuplicateOfId };
}

function insertSorted<T extends { id: string; at: number }>(facts: T[], fact: T): void {
  const place = facts.findIndex(
    (other) => other.at > fact.at || (other.at === fact.at && other.id > fact.id),
  );
  facts.splice(place === -1 ? facts.length : place, 0, fact);
}

function usageOf(
  { at, odometerKm, engineHours, job }: Occasion,
  history: VehicleHistory,
): StoredUsage | null {
  if (odometerKm === null && engineHours === null) return null;
  const instant = at.getTime();
  // A standalone reading that repeats a known usage reading does not store it again.
  if (
    !job &&
    history.usage.readings.some(
      (known) => known.at === instant && known.odometerKm === odometerKm && known.engineHours === engineHours,
    )
  )
    return null;
  return {
    id: uuidv7(),
    at: instant,
    odometerKm,
    engineHours,
    odometerReplaced: false,
    engineHoursReplaced: false,
    source: 'job',
    decision: null,
    heldAtArrival: null,
    status: 'held',
    reason: null,
    detail: null,
    odometerLifetimeKm: null,
    engineHoursLifetime: null,
    isNew: true,
  };
}

const unplaced = { odometerLifetimeKm: null, engineHoursLifetime: null };

function jobRecordOf({ at }: Occasion, { id, lines, columns, repairedDefects }: OccasionJob): JobRecord {
  const isReleased = columns.released_for_service === 'yes';
  return { id, at: at.getTime(), isBaseline: false, isReleased, lines, repairedDefects, ...unplaced };
}

/** The failed safety readings despite which a job released the vehicle for service. */
export function findingsOf(
  { id: jobId, lines, columns }: OccasionJob,
  readings: Recorded['readings'],
): Recorded['readings'] {
  if (columns.released_for_service !== 'yes') return [];
  return safetyFindings(
    lines,
    readings.map((reading) => ({ ...reading, jobId, at: 0 })),
  );
}

function readingRecordOf(
  { at, job }: Occasion,
  { id, position, canonical, circuit, evaluation }: JudgedReading & { id: string },
  limits: ReadingContext,
): ReadingRecord {
  return {
    id,
    jobId: job?.id ?? null,
    position: job ? position : null,
    kind: canonical.kind,
    at: at.getTime(),
    canonical,
    circuit,
    evaluation,
    limits,
    isNew: true,
    ...unplaced,
  };
}

export function positionOf({ jobs, readings }: VehicleConclusion, id: string) {
  const placed = [...jobs, ...readings].find((fact) => fact.id === id);
  return {
    odometer_lifetime_km: placed?.odometerLifetimeKm ?? null,
    engine_hours_lifetime: placed?.engineHoursLifetime ?? null,
  };
}

/** How the occasion's usage reading was judged. */
export function judgementOf(
  usage: StoredUsage,
  { usage: { judgedNew } }: VehicleConclusion,
): JudgedUsageReading {
  const judgement = judgedNew.find(({ id }) => id === usage.id);
  if (judgement === undefined) throw new Error(`the usage reading ${usage.id} was not judged`);
  return judgement;
}

export function heldUsage(usage: StoredUsage | null, conclusion: VehicleConclusion): HeldPart[] {
  const judgement = usage && judgementOf(usage, conclusion);
  if (judgement?.status !== 'held') return [];
  const pointer = usage?.odometerKm === null ? '/engineHours' : '/odometer';
  const why = judgement.detail ?? message('usage-held');
  return [{ pointer, faults: [{ pointer, message: why }], value: usage?.odometerKm ?? usage?.engineHours }];
}

export function outcomeOf(
  { job }: Occasion,
  readings: Recorded['readings'],
  { lines, alerts }: VehicleConclusion,
  held: HeldPart[],
): JobOutcome {
  const facts = new Set([...readings.map((reading) => reading.id), ...(job ? [job.id] : [])]);
  return {
    verdict: worstOf(readings.map((reading) => reading.evaluation.verdict)),
    resets: job ? lines.filter((line) => line.lastDoneReportId === job.id).map((line) => line.id) : [],
    followUps: lines
      .filter(({ openedBy }) => openedBy?.some((id) => facts.has(id)))
      .map(openedLineOf)
      .sort(byPress),
    alerts: alerts
      .filter(
        ({ episode }) =>
          episode.status !== 'cleared' && episode.evidence.some(({ factId }) => facts.has(factId)),
      )
      .map((alert) => alert.id),
    held,
  };
}

function openedLineOf(line: StoredLine): OpenedLine {
  const { id, component, action, item, namedCircuit: circuit, isAtOnce, dueOn, causes } = line;
  return {
    ...{ id, component, action, item },
    ...(circuit !== null && { circuit }),
    ...{ atOnce: isAtOnce, dueOn: dueOn === NEVER ? null : dueOn },
    causes: causes ?? [],
  };
}

/** Puts lines that are due at once first, and the others in order of their due day. */
function byPress(left: OpenedLine, right: OpenedLine): number {
  const never = '9999';
  return (
    Number(right.atOnce) - Number(left.atOnce) || ((left.dueOn ?? never) < (right.dueOn ?? never) ? -1 : 1)
  );
}

export function completionsOf(history: VehicleHistory, resets: string[]) {
  return history.lines
    .filter((line) => resets.includes(line.id) && line.isOpen && !line.noBaseline)
    .map(({ id, windowOpensOn, dueOn, lateOn }) => ({ dueLineId: id, windowOpensOn, dueOn, lateOn }));
}
