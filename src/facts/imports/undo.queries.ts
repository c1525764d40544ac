import type { EntityManager } from 'typeorm';
import { message } from '../../platform/words/messages.js';
import type { FleetScope } from '../../platform/scope/fleet-scope.js';

/** A vehicle whose facts an undo voided: how many, and from when on its usage changes. */
export interface TakenBack {
  vehicleId: string;
  from: Date;
  facts: number;
}

/** The vehicles that an import brought, or that it brought facts for. */
export async function vehiclesOf(
  tx: EntityManager,
  fleetId: string,
  importId: string,
  table: 'vehicles' | 'usage_readings' | 'job_reports',
): Promise<string[]> {
  const id = table === 'vehicles' ? 'id' : 'vehicle_id';
  const rows = await tx.query<{ id: string }[]>(
    `select distinct ${id} as id from ${table} where fleet_id = $1 and import_id = $2 order by 1`,
    [fleetId, importId],
  );
  return rows.map((row) => row.id);
}

/**
 * A reading that a manager voids blocks later copies of itself. An undone reading does not, because
 * it may be imported again. It therefore takes no part in conclusions, and its stored status stays
 * `voided`.
 */
const UNDONE = `decision = 'voided', decided_at = $3, is_undone = true, status = 'voided', reason = null, detail = null,
         odometer_lifetime_km = null, engine_hours_lifetime = null`;

/**
 * Voids the readings of an import, except those already discarded or voided by hand. Their vehicles
 * must be locked.
 */
export function voidUsageOf(
  tx: EntityManager,
  fleetId: string,
  importId: string,
  at: Date,
): Promise<TakenBack[]> {
  return tx.query<TakenBack[]>(
    `with undone as (
       update usage_readings set ${UNDONE}
       where fleet_id = $1 and import_id = $2 and coalesce(decision, 'accepted') = 'accepted'
       returning vehicle_id, read_at)
     select vehicle_id as "vehicleId", min(read_at) as from, count(*)::integer as facts from undone group by vehicle_id order by vehicle_id`,
    [fleetId, importId, at],
  );
}

/**
 * Voids the reports of an import that are not voided yet, with their usage readings. Their vehicles
 * must be locked.
 */
export function voidReportsOf(
  tx: EntityManager,
  fleetId: string,
  importId: string,
  at: Date,
): Promise<TakenBack[]> {
  return tx.query<TakenBack[]>(
    `with undone as (
       update job_reports set voided_at = $3, void_reason = $4::jsonb, is_undone = true
       where fleet_id = $1 and import_id = $2 and voided_at is null
       returning id, vehicle_id, performed_at),
     usage as (
       update usage_readings u set ${UNDONE}
       from undone where u.fleet_id = $1 and u.job_report_id = undone.id),
     done as (
       update completions c set voided = true from undone where c.fleet_id = $1 and c.job_report_id = undone.id)
     select vehicle_id as "vehicleId", min(performed_at) as from, count(*)::integer as facts from undone group by vehicle_id order by vehicle_id`,
    [fleetId, importId, at, JSON.stringify(message('voided-import-undone'))],
  );
}

/** Records that an import was undone, by whom, and what was removed or voided. */
export async function noteUndone(
  tx: EntityManager,
  { fleetId, actor, role }: FleetScope,
  importId: string,
  at: Date,
  undone: { vehicles: number; usageReadings: number; jobReports: number },
): Promise<void> {
  await tx.query(
    `update imports set undone_at = $3, undone_by_kind = $4, undone_by = $5, undone_by_role = $6, undone_vehicles = $7,
       undone_usage_readings = $8, undone_job_reports = $9 where fleet_id = $1 and id = $2`,
    [
      ...[fleetId, importId, at, actor?.kind ?? 'service', actor?.id ?? 'service', role],
      ...[undone.vehicles, undone.usageReadings, undone.jobReports],
    ],
  );
}
