import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import { ConclusionsService, type VehicleConclusion } from '../conclusions/conclusions.service.js';
import type { JobRecord, ReadingRecord, StoredUsage, VehicleHistory } from '../conclusions/history.js';
import { civilDateAt } from '../domain/calendar/zone.js';
import { worstOf } from '../domain/evaluation.js';
import type { Poured } from '../domain/coolant/coolant.js';
import type { ReadingContext } from '../domain/readings.js';
import type { JobOutcome } from '../job-reports/job-report.entity.js';
import { Clock } from '../platform/clock/clock.js';
import { fleetScope } from '../platform/database/fleet-scope.js';
import { unacceptable } from '../platform/http/problem.js';
import {
  type HeldPart,
  type JudgedReading,
  judgeReadings,
  type ReadReading,
  type Sorted,
} from './judge-readings.js';
import { insertCompletions, insertFacts, type Surroundings } from './recording.queries.js';

/** One occasion on which something was done or measured: a job, or a reading by itself. */
export interface Occasion {
  vehicleId: string;
  at: Date;
  odometerKm: number | null;
  odometerUnit: string | null;
  engineHours: number | null;
  elevationM: number | null;
  readings: Sorted<ReadReading>;
  /** Keeps what can be kept and sets the rest aside, instead of refusing the whole. */
  isLenient: boolean;
  job: OccasionJob | null;
  /** Parts that were set aside before. */
  held: HeldPart[];
}

export interface OccasionJob {
  id: string;
  lines: (JobRecord['lines'][number] & { position: number; finding: string | null })[];
  /** The rest of the report's row, by column. */
  columns: Record<string, unknown>;
}

export interface Recorded {
  readings: (JudgedReading & { id: string })[];
  outcome: JobOutcome;
  receivedAt: Date;
}

/** Records what was done and measured on one occasion: judged, stored and concluded from in one transaction. */
@Injectable()
export class RecordingService {
  constructor(
    private readonly conclusions: ConclusionsService,
    private readonly clock: Clock,
  ) {}

  /**
   * @param surroundings of the vehicle, which is locked
   * @throws Problem 422 with every fault, unless lenient
   */
  async record(tx: EntityManager, occasion: Occasion, surroundings: Surroundings): Promise<Recorded> {
    const { fleetId, tokenId } = fleetScope();
    const loaded = await this.conclusions.load(tx, [
      { vehicleId: occasion.vehicleId, usageFrom: occasion.at },
    ]);
    const [history] = loaded.histories;
    if (!history) throw new Error(`the locked vehicle ${occasion.vehicleId} is gone`);
    const context = contextOf(occasion, surroundings, history);
    const judged = judgeReadings(occasion.readings.good, context);
    const faults = [...occasion.readings.faults, ...judged.faults];
    if (faults.length > 0 && !occasion.isLenient) throw unacceptable(faults);
    const readings = judged.good.map((reading) => ({ ...reading, id: uuidv7() }));

    const usage = usageOf(occasion, history);
    if (usage) insertSorted(history.usage.readings, usage);
    if (occasion.job) insertSorted(history.jobs, jobRecordOf(occasion, occasion.job));
    for (const reading of readings)
      insertSorted((history.readings ??= []), readingRecordOf(occasion, reading, context));
    const [conclusion] = await this.conclusions.conclude(tx, loaded);
    if (!conclusion) throw new Error(`nothing was concluded of the vehicle ${occasion.vehicleId}`);

    const held = [
      ...occasion.held,
      ...occasion.readings.held,
      ...judged.held,
      ...heldUsage(usage, conclusion),
    ];
    const outcome = outcomeOf(occasion, readings, conclusion, held);
    const receivedAt = this.clock.now();
    await insertFacts(
      tx,
      fleetId,
      tokenId,
      this.rowsOf(occasion, readings, usage, conclusion, context, outcome, receivedAt),
    );
    await this.conclusions.save(tx, [conclusion]);
    if (occasion.job)
      await insertCompletions(
        tx,
        fleetId,
        occasion.job.id,
        civilDateAt(occasion.at.getTime(), fleetScope().timeZone),
        completionsOf(history, outcome.resets),
      );
    return { readings, outcome, receivedAt };
  }

  private rowsOf(
    occasion: Occasion,
    readings: Recorded['readings'],
    usage: StoredUsage | null,
    conclusion: VehicleConclusion,
    limits: ReadingContext,
    outcome: JobOutcome,
    receivedAt: Date,
  ) {
    const { vehicleId, job, at, odometerKm, engineHours } = occasion;
    const position = positionOf(conclusion, job?.id ?? readings[0]?.id ?? '');
    return {
      reports: job
        ? [
            {
              ...job.columns,
              id: job.id,
              vehicle_id: vehicleId,
              performed_at: at,
              odometer_km: odometerKm,
              engine_hours: engineHours,
              elevation_m: occasion.elevationM,
              outcome,
              received_at: receivedAt,
              ...position,
            },
          ]
        : [],
      lines: (job?.lines ?? []).map(({ partNumber, ...line }) => ({
        ...line,
        job_report_id: job?.id,
        vehicle_id: vehicleId,
        part_number: partNumber,
      })),
      usage: usage
        ? [
            {
              id: usage.id,
              vehicle_id: vehicleId,
              read_at: at,
              odometer_km: odometerKm,
              engine_hours: engineHours,
              source: 'job',
              odometer_unit: occasion.odometerUnit,
              job_report_id: job?.id ?? null,
              held_at_arrival: usage.heldAtArrival,
              status: 'held',
            },
          ]
        : [],
      readings: readings.map(({ id, position: place, typed, canonical, evaluation }) => ({
        id,
        vehicle_id: vehicleId,
        job_report_id: job?.id ?? null,
        position: job ? place : null,
        kind: canonical.kind,
        taken_at: at,
        odometer_km: odometerKm,
        engine_hours: engineHours,
        ...position,
        typed,
        canonical,
        evaluation,
        limits,
        received_at: receivedAt,
      })),
    };
  }
}

/** What the readings are judged by: sheet, place, and what was poured in since the coolant was last replaced. */
function contextOf(occasion: Occasion, s: Surroundings, history: VehicleHistory): ReadingContext {
  const at = occasion.at.getTime();
  const replaces =
    occasion.job?.lines.some(
      (line) => line.component === 'coolant' && (line.action === 'replace' || line.action === 'flush'),
    ) ?? false;
  const lastReplaced = history.jobs.findLast(
    (job) =>
      job.at <= at &&
      job.lines.some(
        (line) => line.component === 'coolant' && (line.action === 'replace' || line.action === 'flush'),
      ),
  );
  const earlier = (history.readings ?? []).filter((reading) => reading.at <= at);
  const poured = earlier.flatMap(({ canonical, at: pouredAt }): Poured[] =>
    (canonical.kind === 'fill' || canonical.kind === 'top-up') && pouredAt >= (lastReplaced?.at ?? -Infinity)
      ? [
          {
            base: canonical.base ?? null,
            technology: canonical.technology ?? null,
            volumeL: canonical.addedL,
          },
        ]
      : [],
  );
  const strengths = earlier.flatMap(({ canonical, evaluation }) =>
    canonical.kind === 'freeze-point'
      ? [evaluation.computed.strengthVolumePercent]
      : canonical.kind === 'fill'
        ? [canonical.strengthPercent ?? null]
        : [],
  );
  const strengthPercent = strengths.findLast((strength) => typeof strength === 'number');
  return {
    coolant:
      s.sheet_id === null
        ? null
        : {
            base: s.coolant_base,
            technology: s.coolant_technology,
            capacityL: s.capacity_l,
            drainableL: s.drainable_l,
            targetStrengthPercent: s.target_strength_percent,
            strengthMaxPercent: s.strength_max_percent,
            capRatingKpa: s.cap_rating_kpa,
            maxTestPressureKpa: s.max_test_pressure_kpa,
          },
    holdTest: {
      method: s.hold_test_method,
      targetKpa: s.hold_test_target_kpa,
      minutes: s.hold_test_minutes,
      allowedLossKpa: s.hold_test_allowed_loss_kpa,
    },
    fasteners: s.fasteners ?? [],
    belts: (s.belts ?? []).flatMap(({ name, designation }) =>
      designation === null ? [] : [{ name, designation }],
    ),
    elevationM: occasion.elevationM ?? (s.worked_at_found ? s.worked_at_elevation_m : s.depot_elevation_m),
    designLowTemperatureC: s.design_low_temperature_c ?? s.depot_low_temperature_c,
    pouredSinceReplacement: replaces ? [] : poured,
    strengthPercent: replaces ? null : typeof strengthPercent === 'number' ? strengthPercent : null,
    practice: s.practice,
  };
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
  // A reading by itself that repeats a known one is not stored twice.
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
  };
}

const unplaced = { odometerLifetimeKm: null, engineHoursLifetime: null };

function jobRecordOf({ at }: Occasion, { id, lines }: OccasionJob): JobRecord {
  return { id, at: at.getTime(), isBaseline: false, lines, ...unplaced };
}

function readingRecordOf(
  { at, job }: Occasion,
  { id, canonical, evaluation }: JudgedReading & { id: string },
  limits: ReadingContext,
): ReadingRecord {
  return {
    id,
    jobId: job?.id ?? null,
    kind: canonical.kind,
    at: at.getTime(),
    canonical,
    evaluation,
    limits,
    ...unplaced,
  };
}

function positionOf({ jobs, readings }: VehicleConclusion, id: string) {
  const placed = [...jobs, ...readings].find((fact) => fact.id === id);
  return {
    odometer_lifetime_km: placed?.odometerLifetimeKm ?? null,
    engine_hours_lifetime: placed?.engineHoursLifetime ?? null,
  };
}

function heldUsage(usage: StoredUsage | null, { usage: { judged } }: VehicleConclusion): HeldPart[] {
  const judgement = usage && judged.find((candidate) => candidate.id === usage.id);
  if (judgement?.status !== 'held') return [];
  const pointer = usage?.odometerKm === null ? '/engineHours' : '/odometer';
  return [{ pointer, detail: judgement.detail ?? '', value: usage?.odometerKm ?? usage?.engineHours }];
}

function outcomeOf(
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
      .filter((line) => line.origin === 'follow-up' && facts.has(line.originKey))
      .map((line) => line.id),
    alerts: alerts
      .filter(
        ({ episode }) =>
          episode.status !== 'cleared' && episode.evidence.some(({ factId }) => facts.has(factId)),
      )
      .map((alert) => alert.id),
    held,
  };
}

function completionsOf(history: VehicleHistory, resets: string[]) {
  return history.lines
    .filter((line) => resets.includes(line.id) && line.isOpen && !line.noBaseline)
    .map(({ id, windowOpensOn, dueOn, lateOn }) => ({ dueLineId: id, windowOpensOn, dueOn, lateOn }));
}
