import type { EntityManager } from 'typeorm';
import type { StoredUsage } from '../../domain/conclusions/vehicle-history.js';
import type { JudgedUsageReading } from '../../domain/usage/types.js';
import { arrayLiteral } from '../../platform/database/array-literal.js';
import type { UsageItem } from './usage-batch.js';
import { runStatement } from '../../platform/database/statement.js';

export interface NewUsageReading extends Omit<UsageItem, 'vehicleId' | 'unitNumber' | 'index'> {
  id: string;
  vehicleId: string;
  heldAtArrival: StoredUsage['heldAtArrival'];
  jobReportId: string | null;
}

/** Inserts judged readings in one statement. */
export async function insertReadings(
  tx: EntityManager,
  fleetId: string,
  tokenId: string | null,
  readings: (NewUsageReading & { judged: JudgedUsageReading })[],
  importId: string | null = null,
): Promise<void> {
  if (readings.length === 0) return;
  const column = columnsOf(readings);
  await runStatement(tx, {
    name: 'insert_usage',
    text: `insert into usage_readings (fleet_id, token_id, id, vehicle_id, read_at, odometer_km, engine_hours, odometer_replaced,
       engine_hours_replaced, source, odometer_unit, job_report_id, held_at_arrival, status, reason, detail, odometer_lifetime_km, engine_hours_lifetime, import_id)
     select $1, $2, r.*, $19::uuid from unnest($3::uuid[], $4::uuid[], $5::timestamptz[], $6::float8[], $7::float8[], $8::bool[], $9::bool[], $10::text[], $11::text[],
       $12::uuid[], $13::text[], $14::text[], $15::text[], $16::jsonb[], $17::float8[], $18::float8[]) as r`,
    values: [
      fleetId,
      tokenId,
      column((r) => r.id),
      column((r) => r.vehicleId),
      column((r) => r.readAt),
      column((r) => r.odometerKm),
      column((r) => r.engineHours),
      column((r) => r.odometerReplaced),
      column((r) => r.engineHoursReplaced),
      column((r) => r.source),
      column((r) => r.odometerUnit),
      column((r) => r.jobReportId),
      column((r) => r.heldAtArrival),
      column((r) => r.judged.status),
      column((r) => r.judged.reason),
      column((r) => r.judged.detail && JSON.stringify(r.judged.detail)),
      column((r) => r.judged.odometerLifetimeKm),
      column((r) => r.judged.engineHoursLifetime),
      importId,
    ],
  });
}

/** The ids of stored readings that the given ones repeat, by the position of the given reading. */
export async function findRepeated(
  tx: EntityManager,
  fleetId: string,
  readings: NewUsageReading[],
): Promise<Map<number | string, string>> {
  const column = columnsOf(readings);
  const rows = await runStatement<{ ordinality: number; id: string }[]>(tx, {
    name: 'find_repeated',
    text: `select g.ordinality, u.id
     from unnest($2::uuid[], $3::timestamptz[], $4::float8[], $5::float8[]) with ordinality as g(vehicle_id, read_at, odometer_km, engine_hours, ordinality)
     join usage_readings u on u.fleet_id = $1 and u.vehicle_id = g.vehicle_id and u.read_at = g.read_at and u.job_report_id is null and not u.is_undone
       and u.odometer_km is not distinct from g.odometer_km and u.engine_hours is not distinct from g.engine_hours`,
    values: [
      fleetId,
      column((r) => r.vehicleId),
      column((r) => r.readAt),
      column((r) => r.odometerKm),
      column((r) => r.engineHours),
    ],
  });
  return new Map(rows.map((row) => [row.ordinality - 1, row.id]));
}

function columnsOf<T>(rows: readonly T[]) {
  return (value: (row: T) => string | number | boolean | Date | null): string =>
    arrayLiteral(rows.map(value));
}
