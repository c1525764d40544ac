import type { EntityManager } from 'typeorm';
import type { CircuitName } from '../../domain/vehicles/circuits.js';

/** What a vehicle's spec sheet says of its belts and of its first circuit. */
export interface SheetOfVehicle {
  belts: { name: string }[];
  circuit: CircuitName;
}

/** The spec sheet of each vehicle that has one. */
export async function sheetsOf(
  tx: EntityManager,
  fleetId: string,
  vehicleIds: string[],
): Promise<Map<string, SheetOfVehicle>> {
  const rows = await tx.query<(SheetOfVehicle & { id: string })[]>(
    `select v.id, s.belts, s.circuit from vehicles v join spec_sheets s on s.fleet_id = v.fleet_id and s.id = v.spec_sheet_id
     where v.fleet_id = $1 and v.id = any($2::uuid[])`,
    [fleetId, vehicleIds],
  );
  return new Map(rows.map(({ id, ...sheet }) => [id, sheet]));
}

/**
 * The content hashes (hex) of stored baseline reports, voided ones included, and whether each was
 * voided. Undone reports are left out, because they may be imported again.
 */
export async function knownBaselines(
  tx: EntityManager,
  fleetId: string,
  vehicleIds: string[],
  hashes: string[],
): Promise<Map<string, { isVoided: boolean }>> {
  const rows = await tx.query<{ hash: string; voided: boolean }[]>(
    `select encode(content_hash, 'hex') as hash, voided_at is not null as voided from job_reports
     where fleet_id = $1 and vehicle_id = any($2::uuid[]) and is_baseline and not is_undone
       and content_hash in (select decode(h, 'hex') from unnest($3::text[]) as h)`,
    [fleetId, vehicleIds, hashes],
  );
  return new Map(rows.map(({ hash, voided }) => [hash, { isVoided: voided }]));
}

/** A baseline report with its one line, and its usage reading if it has a counter. */
export interface NewBaseline {
  id: string;
  vehicleId: string;
  at: Date;
  odometerKm: number | null;
  odometerUnit: string | null;
  engineHours: number | null;
  contentHash: string;
  outcome: object;
  component: string;
  action: string;
  item: string | null;
  circuit: CircuitName | null;
  usageId: string | null;
}

/** Stores any number of baseline reports in one statement. */
export async function insertBaselines(
  tx: EntityManager,
  origin: { fleetId: string; tokenId: string | null; receivedAt: Date; importId: string },
  baselines: readonly NewBaseline[],
): Promise<void> {
  if (baselines.length === 0) return;
  await tx.query(
    `with given as (
       select * from jsonb_to_recordset($4::jsonb) as r(id uuid, "vehicleId" uuid, at timestamptz, "odometerKm" float8, "odometerUnit" text,
         "engineHours" float8, "contentHash" text, outcome jsonb, component text, action text, item text, circuit text, "usageId" uuid)),
     reports as (
       insert into job_reports (fleet_id, id, vehicle_id, performed_at, odometer_km, engine_hours, is_baseline, content_hash, outcome, token_id, received_at, import_id, depot_id)
       select $1, g.id, g."vehicleId", g.at, g."odometerKm", g."engineHours", true, decode(g."contentHash", 'hex'), g.outcome, $2, $3, $5, v.depot_id
       from given g join vehicles v on v.fleet_id = $1 and v.id = g."vehicleId"),
     lines as (
       insert into job_lines (fleet_id, job_report_id, position, vehicle_id, component, action, item, circuit)
       select $1, id, 0, "vehicleId", component, action, item, circuit from given)
     insert into usage_readings (fleet_id, id, vehicle_id, read_at, odometer_km, engine_hours, source, odometer_unit, job_report_id, status, token_id)
     select $1, "usageId", "vehicleId", at, "odometerKm", "engineHours", 'job', case when "odometerKm" is not null then "odometerUnit" end, id, 'held', $2
     from given where "usageId" is not null`,
    [origin.fleetId, origin.tokenId, origin.receivedAt, JSON.stringify(baselines), origin.importId],
  );
}
