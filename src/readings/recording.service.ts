import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import { ConclusionsService, type VehicleConclusion } from '../conclusions/conclusions.service.js';
import type { StoredUsage } from '../conclusions/history.js';
import { civilDateAt } from '../domain/calendar/zone.js';
import { jobOfSameWork } from '../domain/intervals/same-work.js';
import type { ReadingContext } from '../domain/readings/reading-context.js';
import type { JudgedReading as UsageJudgement } from '../domain/usage/types.js';
import { Clock } from '../platform/clock/clock.js';
import { fleetScope } from '../platform/database/fleet-scope.js';
import { pipelined } from '../platform/database/pipelined.js';
import { unacceptable } from '../platform/http/problem.js';
import { judgeReadings } from './judge-readings.js';
import type { Occasion, Recorded } from './occasion.js';
import {
  completionsOf,
  findingsOf,
  heldUsage,
  insertSorted,
  jobRecordOf,
  judgementOf,
  outcomeOf,
  positionOf,
  readingRecordOf,
  usageOf,
} from './occasion-facts.js';
import { contextOf } from './reading-context.js';
import { insertCompletions, insertFacts, type Surroundings } from './recording.queries.js';

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

    const double = occasion.job && jobOfSameWork(jobRecordOf(occasion, occasion.job), history.jobs);
    const possibleDuplicateOfId = double?.id ?? null;
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
    const recorded: Recorded = {
      ...{ readings, outcome, possibleDuplicateOfId, receivedAt },
      isReleasedWithFindings: occasion.job !== null && findingsOf(occasion.job, readings).length > 0,
      depotId: conclusion.history.depotId,
      openFindings: new Set(conclusion.lines.flatMap(({ releasedWith }) => releasedWith ?? [])),
      usage: usage && judgementOf(usage, conclusion),
    };
    const rows = this.rowsOf(occasion, usage, conclusion, context, recorded);
    await pipelined([
      () => insertFacts(tx, fleetId, tokenId, rows),
      () =>
        insertCompletions(
          tx,
          fleetId,
          occasion.job?.id ?? '',
          civilDateAt(occasion.at.getTime(), fleetScope().timeZone),
          occasion.job ? completionsOf(history, outcome.resets) : [],
        ),
      () => this.conclusions.save(tx, [conclusion]),
    ]);
    return recorded;
  }

  private rowsOf(
    occasion: Occasion,
    usage: StoredUsage | null,
    conclusion: VehicleConclusion,
    limits: ReadingContext,
    { readings, outcome, possibleDuplicateOfId, receivedAt, isReleasedWithFindings, depotId }: Recorded,
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
              depot_id: job.columns.worked_at_depot_id ?? depotId,
              verdict: outcome.verdict,
              is_released_with_findings: isReleasedWithFindings,
              possible_duplicate_of_id: possibleDuplicateOfId,
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
              ...usageStanding(judgementOf(usage, conclusion)),
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

const usageStanding = ({
  status,
  reason,
  detail,
  odometerLifetimeKm,
  engineHoursLifetime,
}: UsageJudgement) => ({
  ...{ status, reason, detail },
  odometer_lifetime_km: odometerLifetimeKm,
  engine_hours_lifetime: engineHoursLifetime,
});
