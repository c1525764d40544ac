import type { VehicleConclusion } from '../../conclusions/store/vehicle-conclusion.js';
import type { StoredUsage } from '../../domain/conclusions/vehicle-history.js';
import type { ReadingContext } from '../../domain/readings/contract/reading-context.js';
import type { CircuitName } from '../../domain/vehicles/circuits.js';
import type { Occasion, OccasionJob, Recorded } from './occasion.js';
import { judgementOf, positionOf } from './occasion-facts.js';
import type { NewFacts } from './recording.queries.js';

/** What is known about an occasion when its facts are stored. */
export interface Concluded {
  /** The usage reading from the occasion's counters. Null when it has none. */
  usage: StoredUsage | null;
  conclusion: VehicleConclusion;
  /** What its readings in a circuit were judged against. */
  limitsIn: (circuit: CircuitName | null) => ReadingContext;
  recorded: Recorded;
}

/** The rows that store an occasion. */
export function factRows(occasion: Occasion, concluded: Concluded): NewFacts {
  const { job } = occasion;
  const { usage, conclusion, recorded } = concluded;
  const position = positionOf(conclusion, job?.id ?? recorded.readings[0]?.id ?? '');
  return {
    reports: job ? [{ ...reportRow(occasion, job, recorded), ...position }] : [],
    lines: job ? lineRows(occasion, job) : [],
    usage: usage ? [usageRow(occasion, usage, conclusion)] : [],
    readings: readingRows(occasion, concluded).map((row) => ({ ...row, ...position })),
  };
}

function reportRow(occasion: Occasion, { id, columns, repairedDefects }: OccasionJob, recorded: Recorded) {
  return {
    ...columns,
    id,
    vehicle_id: occasion.vehicleId,
    performed_at: occasion.at,
    odometer_km: occasion.odometerKm,
    engine_hours: occasion.engineHours,
    elevation_m: occasion.elevationM,
    repaired_defects: repairedDefects,
    outcome: recorded.outcome,
    depot_id: columns.worked_at_depot_id ?? recorded.depotId,
    verdict: recorded.outcome.verdict,
    is_released_with_findings: recorded.isReleasedWithFindings,
    possible_duplicate_of_id: recorded.possibleDuplicateOfId,
    received_at: recorded.receivedAt,
  };
}

function lineRows({ vehicleId }: Occasion, { id, lines }: OccasionJob) {
  return lines.map(({ partNumber, ...line }) => ({
    ...line,
    job_report_id: id,
    vehicle_id: vehicleId,
    part_number: partNumber,
  }));
}

function usageRow(occasion: Occasion, usage: StoredUsage, conclusion: VehicleConclusion) {
  const { status, reason, detail, odometerLifetimeKm, engineHoursLifetime } = judgementOf(usage, conclusion);
  return {
    id: usage.id,
    vehicle_id: occasion.vehicleId,
    read_at: occasion.at,
    odometer_km: occasion.odometerKm,
    engine_hours: occasion.engineHours,
    source: 'job',
    odometer_unit: occasion.odometerUnit,
    job_report_id: occasion.job?.id ?? null,
    held_at_arrival: usage.heldAtArrival,
    ...{ status, reason, detail },
    odometer_lifetime_km: odometerLifetimeKm,
    engine_hours_lifetime: engineHoursLifetime,
  };
}

function readingRows(occasion: Occasion, { limitsIn, recorded }: Concluded) {
  const { vehicleId, job, at, odometerKm, engineHours } = occasion;
  return recorded.readings.map(({ id, position, typed, canonical, circuit, evaluation }) => ({
    id,
    vehicle_id: vehicleId,
    job_report_id: job?.id ?? null,
    position: job ? position : null,
    kind: canonical.kind,
    circuit,
    taken_at: at,
    odometer_km: odometerKm,
    engine_hours: engineHours,
    typed,
    canonical,
    evaluation,
    limits: limitsIn(circuit),
    received_at: recorded.receivedAt,
  }));
}
