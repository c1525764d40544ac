import type { EntityManager } from 'typeorm';
import type { AssignmentFact, JobRecord } from '../../domain/conclusions/vehicle-history.js';
import { jobFact, laidUpSpans, type LevelRecord, levelFact } from '../../domain/conclusions/loss-facts.js';
import type { LossCohort, VehicleFacts, LevelUncertainty } from '../../domain/loss/facts/types.js';

/** The sheets for which a cohort can be computed, or is stored. */
export async function sheetsWithVehicles(manager: EntityManager, fleetId: string): Promise<string[]> {
  const rows = await manager.query<{ id: string }[]>(
    `select spec_sheet_id as id from vehicles where fleet_id = $1 and spec_sheet_id is not null
     union select spec_sheet_id from loss_cohorts where fleet_id = $1 order by id`,
    [fleetId],
  );
  return rows.map(({ id }) => id);
}

type Raw<T> = Omit<T, 'at'> & { at: string };

interface LevelRow {
  vehicleId: string;
  capacityL: number;
  base: string;
  technology: string | null;
  assignments: Pick<AssignmentFact, 'effectiveOn' | 'status'>[] | null;
  readings: Raw<LevelRecord>[] | null;
  jobs: Raw<JobRecord>[] | null;
  practice: LevelUncertainty;
}

/**
 * What is known since an instant about the coolant levels in the first circuit of a sheet's
 * vehicles. Returns at most a given number of vehicles at a time, ordered by id. Reads less than
 * the loss watch does: no evaluations and no other kinds of reading.
 */
export async function levelHistories(
  manager: EntityManager,
  fleetId: string,
  specSheetId: string,
  since: Date,
  after: string | null,
  limit: number,
): Promise<VehicleFacts[]> {
  const rows = await manager.query<LevelRow[]>(
    `select v.id as "vehicleId", s.capacity_l as "capacityL", s.coolant_base as base, s.coolant_technology as technology,
       a.assignments, r.readings, j.jobs, (select practice from fleets where id = $1) as practice
     from (select id, spec_sheet_id from vehicles where fleet_id = $1 and spec_sheet_id = $2 and ($4::uuid is null or id > $4) order by id limit $5) v
     join spec_sheets s on s.fleet_id = $1 and s.id = v.spec_sheet_id
     cross join lateral (
       select jsonb_agg(jsonb_build_object('effectiveOn', h.effective_on, 'status', h.status) order by h.effective_on, h.id) as assignments
       from vehicle_assignments h where h.fleet_id = $1 and h.vehicle_id = v.id) a
     cross join lateral (
       select jsonb_agg(jsonb_build_object('id', r.id, 'jobId', r.job_report_id, 'at', r.taken_at, 'odometerLifetimeKm', r.odometer_lifetime_km,
         'engineHoursLifetime', r.engine_hours_lifetime, 'canonical', r.canonical) order by r.taken_at, r.id) as readings
       from readings r where r.fleet_id = $1 and r.vehicle_id = v.id and r.taken_at >= $3 and r.voided_at is null
         and nullif(r.circuit, s.circuit) is null and r.kind in ('level-check', 'top-up', 'fill')) r
     cross join lateral (
       select jsonb_agg(jsonb_build_object('id', j.id, 'at', j.performed_at, 'isBaseline', j.is_baseline, 'odometerLifetimeKm', j.odometer_lifetime_km,
         'engineHoursLifetime', j.engine_hours_lifetime, 'lines', (
           select coalesce(jsonb_agg(jsonb_build_object('component', l.component, 'action', l.action, 'item', l.item, 'failed', l.failed,
             'lot', l.lot, 'partNumber', l.part_number) order by l.position), '[]')
           from job_lines l where l.fleet_id = $1 and l.job_report_id = j.id and nullif(l.circuit, s.circuit) is null)) order by j.performed_at, j.id) as jobs
       from job_reports j where j.fleet_id = $1 and j.vehicle_id = v.id and j.performed_at >= $3 and j.voided_at is null) j
     order by v.id`,
    [fleetId, specSheetId, since, after, limit],
  );
  return rows.map(({ vehicleId, capacityL, base, technology, assignments, readings, jobs, practice }) => ({
    vehicleId,
    sheet: { capacityL, base, technology },
    cohort: null,
    levelUncertainty: practice,
    events: [
      ...(readings ?? []).flatMap((reading) => levelFact({ ...reading, at: Date.parse(reading.at) }) ?? []),
      ...(jobs ?? []).map((job) => jobFact({ ...job, at: Date.parse(job.at) }, () => null)),
    ],
    laidUp: laidUpSpans(assignments ?? []),
  }));
}

/** The stored cohort. Null when there is none. */
export async function storedCohort(
  manager: EntityManager,
  fleetId: string,
  specSheetId: string,
): Promise<LossCohort | null> {
  const [row] = await manager.query<LossCohort[]>(
    'select mu0, sigma from loss_cohorts where fleet_id = $1 and spec_sheet_id = $2',
    [fleetId, specSheetId],
  );
  return row ?? null;
}

/**
 * Keeps vehicles from being assigned to the sheet until the transaction ends. The old cohort would
 * be applied to a vehicle assigned in the meantime.
 */
export async function lockSheet(tx: EntityManager, fleetId: string, specSheetId: string): Promise<void> {
  await tx.query('select id from spec_sheets where fleet_id = $1 and id = $2 for update', [
    fleetId,
    specSheetId,
  ]);
}

/** Stores a cohort. Null deletes the stored one. */
export async function saveCohort(
  tx: EntityManager,
  fleetId: string,
  specSheetId: string,
  cohort: LossCohort | null,
  vehicles: number,
  computedAt: Date,
): Promise<void> {
  if (cohort === null) {
    await tx.query('delete from loss_cohorts where fleet_id = $1 and spec_sheet_id = $2', [
      fleetId,
      specSheetId,
    ]);
    return;
  }
  await tx.query(
    `insert into loss_cohorts (fleet_id, spec_sheet_id, mu0, sigma, vehicles, computed_at) values ($1, $2, $3, $4, $5, $6)
     on conflict (fleet_id, spec_sheet_id) do update set mu0 = excluded.mu0, sigma = excluded.sigma, vehicles = excluded.vehicles,
       computed_at = excluded.computed_at`,
    [fleetId, specSheetId, cohort.mu0, cohort.sigma, vehicles, computedAt],
  );
}

/** Records that a fleet's cohorts and batches of parts have been examined tonight. */
export async function markRefreshed(manager: EntityManager, fleetId: string, on: string): Promise<void> {
  await manager.query(
    `insert into fleet_sweeps (fleet_id, cohorts_on) values ($1, $2)
     on conflict (fleet_id) do update set cohorts_on = greatest(fleet_sweeps.cohorts_on, excluded.cohorts_on)`,
    [fleetId, on],
  );
}
