import { COMMON_PRACTICE } from '../evaluation/common-practice.js';
import { freezePointUncertaintyC } from '../strength/freeze-point.js';
import { strengthUncertaintyPercent } from '../strength/strength-uncertainty.js';
import type { AlertActionFact, CoolantFact, JobFact, VehicleFacts } from '../loss/facts/types.js';
import { holdTestProcedure } from '../pressure/hold-test-procedure.js';
import { STANDARD_SEA_LEVEL_KPA } from '../atmosphere/standard-atmosphere.js';
import type { Measure } from '../quantities/measures.js';
import type {
  AlertActionRecord,
  AssignmentFact,
  JobRecord,
  Position,
  ReadingRecord,
  VehicleHistory,
} from './vehicle-history.js';

/** A gauge is not set to the kilopascal: within five per cent of the cap's rating counts as at it (common practice, no source). */
const AT_CAP_RATING = 0.95;

const instant = (at: number): string => new Date(at).toISOString();

/** A vehicle's history as the loss watch takes it. */
export function vehicleFacts(history: VehicleHistory, beforeWindow: BeforeWindow): VehicleFacts {
  const readings = history.readings ?? [];
  const warmedUp = warmedUpJobs(readings);
  return {
    vehicleId: history.vehicleId,
    sheet: history.sheet && {
      capacityL: history.sheet.capacityL,
      base: history.sheet.base,
      technology: history.sheet.technology,
      minToMaxL: history.sheet.minToMaxL,
    },
    cohort: history.cohort,
    levelUncertainty: history.levelUncertainty,
    events: [
      ...readings.flatMap((reading) => readingFact(reading, warmedUp) ?? []),
      ...history.jobs.map((job) => jobFact(job, beforeWindow)),
      ...history.alertActions.map(actionFact),
    ],
    laidUp: laidUpSpans(history.assignments),
  };
}

/** Whether a job's line came before its window had opened; null where no interval says when. */
export type BeforeWindow = (job: JobRecord, line: JobRecord['lines'][number]) => boolean | null;

export function jobFact(job: JobRecord, beforeWindow: BeforeWindow): JobFact {
  return {
    kind: 'job',
    id: job.id,
    at: instant(job.at),
    odometerKm: job.odometerLifetimeKm,
    engineHours: job.engineHoursLifetime,
    isBaseline: job.isBaseline,
    lines: job.lines.map((line) => ({ ...line, beforeWindow: beforeWindow(job, line) })),
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

function measured(value: unknown): number | null {
  return typeof value === 'object' && value !== null && 'measure' in value ? (value as Measure).value : null;
}

const numeric = (value: unknown): number | null => (typeof value === 'number' ? value : null);

/** A measurement that tells of the level alone. */
export type LevelRecord = Position & Pick<ReadingRecord, 'id' | 'jobId' | 'at' | 'canonical'>;

const whenAndWhere = (record: LevelRecord) => ({
  id: record.id,
  at: instant(record.at),
  odometerKm: record.odometerLifetimeKm,
  engineHours: record.engineHoursLifetime,
});

/** A top-up, level check or fill as a fact of the loss watch; null for the other kinds. */
export function levelFact(record: LevelRecord): CoolantFact | null {
  const { canonical } = record;
  const fact = whenAndWhere(record);
  switch (canonical.kind) {
    case 'top-up':
      return {
        ...fact,
        kind: 'top-up',
        addedL: canonical.addedL,
        strengthPercent: canonical.strengthPercent ?? null,
        toMark: canonical.toMark === true,
        planned: canonical.planned === true,
      };
    case 'level-check':
      return {
        ...fact,
        kind: 'level-check',
        belowMarkL: canonical.belowMarkL ?? null,
        level: canonical.level ?? null,
        engineCold: canonical.engineCold === true,
      };
    case 'fill':
      return {
        ...fact,
        kind: 'fill',
        addedL: canonical.addedL,
        strengthPercent: canonical.strengthPercent ?? null,
        jobId: record.jobId,
      };
    default:
      return null;
  }
}

/** A measurement as a fact of the loss watch; null for the kinds that say nothing of loss. */
function readingFact(record: ReadingRecord, warmedUp: ReadonlySet<string>): CoolantFact | null {
  const { canonical, evaluation } = record;
  const { computed, verdict } = evaluation;
  const fact = whenAndWhere(record);
  switch (canonical.kind) {
    case 'freeze-point': {
      const freezePointC = measured(computed.freezePoint);
      const base = canonical.base ?? record.limits.coolant?.base ?? 'ethylene-glycol';
      const uncertainty =
        freezePointC === null
          ? null
          : strengthUncertaintyPercent(base, freezePointC, freezePointUncertaintyC(canonical.method));
      // Without both the strength and how well it is known, nothing can be concluded from it.
      const strengthVolumePercent = uncertainty === null ? null : numeric(computed.strengthVolumePercent);
      return {
        ...fact,
        kind: 'freeze-point',
        strengthVolumePercent,
        uncertaintyPercent: uncertainty ?? 0,
        method: canonical.method,
        verdict,
        ...(record.jobId !== null && warmedUp.has(record.jobId) ? { mixed: true } : {}),
      };
    }
    case 'hold-test': {
      const { coolant, holdTest } = record.limits;
      const procedure = holdTestProcedure(
        canonical,
        {
          procedureMethod: holdTest?.method,
          allowedLossKpa: holdTest?.allowedLossKpa,
          allowedMinutes: holdTest?.minutes,
        },
        { ...COMMON_PRACTICE, ...record.limits.practice },
      );
      const capRatingKpa = coolant?.capRatingKpa ?? null;
      return {
        ...fact,
        kind: 'hold-test',
        method: canonical.method,
        verdict,
        ratePerMinuteKpa: measured(computed.ratePerMinute),
        allowedRateKpa:
          procedure.allowedLossHereKpa(measured(computed.atmosphere) ?? STANDARD_SEA_LEVEL_KPA) /
          procedure.minutes,
        expandedUncertaintyRate: (measured(computed.expandedUncertainty) ?? 0) / canonical.minutes,
        temperatureInDoubt: computed.temperatureInDoubt === true,
        atCapRating:
          canonical.method === 'pressure' &&
          capRatingKpa !== null &&
          canonical.startKpa >= AT_CAP_RATING * capRatingKpa,
      };
    }
    default:
      return levelFact(record);
  }
}

/** Jobs with a warm-up in which the thermostat opened: what was filled in has gone round. */
function warmedUpJobs(readings: readonly ReadingRecord[]): Set<string> {
  return new Set(
    readings.flatMap(({ jobId, canonical }) =>
      jobId !== null && canonical.kind === 'warm-up-check' && canonical.thermostatOpened === true
        ? [jobId]
        : [],
    ),
  );
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
