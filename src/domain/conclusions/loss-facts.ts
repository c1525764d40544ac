import { faultCodeText } from '../faults/fault-code.js';
import { joined } from '../faults/spans.js';
import { meaningForWork } from '../faults/what-it-opens.js';
import type {
  AlertActionFact,
  CoolantFact,
  JobFact,
  ReportedLowFact,
  VehicleFacts,
} from '../loss/facts/types.js';
import type {
  AlertActionRecord,
  AssignmentFact,
  FaultRecord,
  JobRecord,
  Position,
  ReadingRecord,
  VehicleHistory,
} from './vehicle-history.js';
import { pouredBy } from '../readings/evaluate-reading.js';
import { kindOf } from '../readings/kinds.js';
import { type CircuitName, circuitOfFaults, isSameCircuit } from '../vehicles/circuits.js';

const instant = (at: number): string => new Date(at).toISOString();

/**
 * The circuits that the loss watch has something to say about: the first, and those with facts.
 *
 * @returns as they are recorded: null is the first
 */
export function watchedCircuits({ jobs, readings }: VehicleHistory): (CircuitName | null)[] {
  const found = new Set<CircuitName | null>([null]);
  for (const { lines } of jobs) for (const { circuit } of lines) found.add(circuit ?? null);
  for (const { circuit } of readings ?? []) found.add(circuit ?? null);
  return [...found];
}

/**
 * What is recorded about one circuit of a vehicle, as the loss watch takes it. Nothing that was
 * done or read in another circuit is among it.
 *
 * @param circuit null: the first
 */
export function vehicleFacts(
  history: VehicleHistory,
  beforeWindow: BeforeWindow,
  circuit: CircuitName | null = null,
): VehicleFacts {
  const readings = (history.readings ?? []).filter((reading) => isSameCircuit(reading, { circuit }));
  const sheet =
    circuit === null
      ? history.sheet
      : (history.otherSheets?.find((other) => other.circuit === circuit) ?? null);
  const warmedUp = warmedUpJobs(readings);
  const pouredLast = lastPouringByJob(readings);
  return {
    vehicleId: history.vehicleId,
    circuit,
    sheet: sheet && {
      capacityL: sheet.capacityL,
      base: sheet.base,
      technology: sheet.technology,
      minToMaxL: sheet.minToMaxL,
    },
    cohort: circuit === null ? history.cohort : null,
    levelUncertainty: history.levelUncertainty,
    events: [
      ...readings.flatMap((reading) => readingFact(reading, isMixed(reading, warmedUp, pouredLast)) ?? []),
      ...history.jobs.map((job) => jobFact(job, beforeWindow, circuit)),
      ...(circuitOfFaults(history.circuits) === circuit ? reportedLows(history.faults) : []),
      ...history.alertActions.map(actionFact),
    ],
    laidUp: laidUpSpans(history.assignments),
  };
}

/** The times at which the vehicle began to report that its coolant is low, or its pressure. */
export function reportedLows(faults: readonly FaultRecord[]): ReportedLowFact[] {
  const ofCode = new Map<string, FaultRecord[]>();
  for (const fault of faults) {
    if (!fault.isActive || whatIsLow(fault) === null) continue;
    const code = faultCodeText(fault.code);
    ofCode.set(code, [...(ofCode.get(code) ?? []), fault]);
  }
  return [...ofCode].flatMap(([code, seen]) =>
    joined(seen).flatMap((fault): ReportedLowFact[] => {
      const what = whatIsLow(fault);
      if (what === null) return [];
      const { id, firstAt, odometerLifetimeKm, engineHoursLifetime } = fault;
      const where = { odometerKm: odometerLifetimeKm, engineHours: engineHoursLifetime };
      return [{ kind: 'reported-low', id, at: instant(firstAt), ...where, what, code }];
    }),
  );
}

function whatIsLow({ code }: FaultRecord): ReportedLowFact['what'] | null {
  switch (meaningForWork(code)) {
    case 'level-low':
    case 'level-falling':
      return 'level';
    case 'pressure-low':
    case 'pressure-falling':
      return 'pressure';
    default:
      return null;
  }
}

/** Whether a job's line came before its window had opened; null where no interval says when. */
export type BeforeWindow = (job: JobRecord, line: JobRecord['lines'][number]) => boolean | null;

/** @param circuit the one whose lines it has; null: the first */
export function jobFact(
  job: JobRecord,
  beforeWindow: BeforeWindow,
  circuit: CircuitName | null = null,
): JobFact {
  const lines = job.lines.filter((line) => isSameCircuit(line, { circuit }));
  return {
    kind: 'job',
    id: job.id,
    at: instant(job.at),
    odometerKm: job.odometerLifetimeKm,
    engineHours: job.engineHoursLifetime,
    isBaseline: job.isBaseline,
    lines: lines.map((line) => ({ ...line, beforeWindow: beforeWindow(job, line) })),
  };
}

export function actionFact({
  id,
  at,
  alertKey,
  action,
  until,
  by,
  note,
}: AlertActionRecord): AlertActionFact {
  return {
    kind: 'alert-action',
    id,
    at: instant(at),
    alertKey,
    action,
    until: until === null ? null : new Date(until).toISOString(),
    by: by ?? '',
    note,
  };
}

/** A measurement of the level only. */
export type LevelRecord = Position & Pick<ReadingRecord, 'id' | 'jobId' | 'at' | 'canonical'>;

const whenAndWhere = (record: LevelRecord) => ({
  id: record.id,
  at: instant(record.at),
  odometerKm: record.odometerLifetimeKm,
  engineHours: record.engineHoursLifetime,
});

/**
 * A reading as a fact about the level for the loss watch; null for kinds without a level.
 */
export function levelFact(record: LevelRecord): CoolantFact | null {
  const { canonical, jobId } = record;
  return kindOf(canonical).levelFact?.(canonical, whenAndWhere(record), jobId) ?? null;
}

/** A reading as a fact for the loss watch; null for kinds without one. */
function readingFact(record: ReadingRecord, isMixedIn: boolean): CoolantFact | null {
  const { canonical, evaluation, limits } = record;
  const judged = { evaluation, limits, isMixed: isMixedIn };
  return kindOf(canonical).judgedFact?.(canonical, whenAndWhere(record), judged) ?? levelFact(record);
}

/** Jobs with a warm-up in which the thermostat opened: what was filled in has circulated. */
function warmedUpJobs(readings: readonly ReadingRecord[]): Set<string> {
  return new Set(
    readings.flatMap(({ jobId, canonical }) =>
      jobId !== null && canonical.kind === 'warm-up-check' && canonical.thermostatOpened === true
        ? [jobId]
        : [],
    ),
  );
}

/** Where in its job, among the readings, something was last poured in. */
function lastPouringByJob(readings: readonly ReadingRecord[]): Map<string, number> {
  const last = new Map<string, number>();
  for (const { jobId, position, canonical } of readings) {
    if (jobId === null || position === null || pouredBy(canonical) === null) continue;
    last.set(jobId, Math.max(position, last.get(jobId) ?? position));
  }
  return last;
}

/** A warm-up mixes what its job poured in; a sample taken before that has none of it. */
function isMixed(
  { jobId, position }: ReadingRecord,
  warmedUp: ReadonlySet<string>,
  pouredLast: ReadonlyMap<string, number>,
): boolean {
  if (jobId === null || !warmedUp.has(jobId)) return false;
  return (position ?? 0) >= (pouredLast.get(jobId) ?? -Infinity);
}

/** The spans in which a vehicle rested. */
export function laidUpSpans(
  assignments: readonly Pick<AssignmentFact, 'effectiveOn' | 'status'>[],
): { fromAt: string; toAt: string | null }[] {
  return assignments.flatMap((assignment, index) => {
    if (assignment.status !== 'laid-up') return [];
    const next = assignments[index + 1];
    return [
      { fromAt: `${assignment.effectiveOn}T00:00:00Z`, toAt: next ? `${next.effectiveOn}T00:00:00Z` : null },
    ];
  });
}
