import { runStatement } from '../../platform/database/statement.js';
import type { EntityManager, SelectQueryBuilder } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import type { VehicleQuery } from './vehicle.dto.js';
import { Vehicle } from '../../entities/vehicle.entity.js';

/** A day before any record. The first assignment of a vehicle applies from then on. */
export const FROM_EVER = '1950-01-01';

/** Stores new vehicles with assignments from the beginning, in one statement. */
export async function insertVehicles(
  tx: EntityManager,
  fleetId: string,
  tokenId: string | null,
  vehicles: readonly Vehicle[],
  importId: string | null = null,
): Promise<void> {
  if (vehicles.length === 0) return;
  const rows = vehicles.map((vehicle) => ({ ...vehicle, assignmentId: uuidv7() }));
  await tx.query(
    `with added as (
       insert into vehicles (fleet_id, id, unit_number, depot_id, spec_sheet_id, interval_plan_id, duty, status, vin, serial_number, make, model, model_year,
         mounted_on, in_use_months, in_service_on, in_service_odometer_km, in_service_engine_hours, expected_daily_km, expected_daily_hours,
         design_low_temperature_c, version, import_id)
       select $1, r.id, r."unitNumber", r."depotId", r."specSheetId", r."intervalPlanId", r.duty, r.status, r.vin, r."serialNumber", r.make, r.model, r."modelYear",
         r."mountedOn", r."inUseMonths", r."inServiceOn", r."inServiceOdometerKm", r."inServiceEngineHours", r."expectedDailyKm", r."expectedDailyHours",
         r."designLowTemperatureC", r.version, $5
       from jsonb_to_recordset($2::jsonb) as r(id uuid, "unitNumber" text, "depotId" uuid, "specSheetId" uuid, "intervalPlanId" uuid, duty text, status text,
         vin text, "serialNumber" text, make text, model text, "modelYear" integer, "mountedOn" uuid, "inUseMonths" integer[], "inServiceOn" date, "inServiceOdometerKm" float8,
         "inServiceEngineHours" float8, "expectedDailyKm" float8, "expectedDailyHours" float8, "designLowTemperatureC" float8, version integer))
     insert into vehicle_assignments (fleet_id, id, vehicle_id, effective_on, depot_id, duty, spec_sheet_id, interval_plan_id, status, token_id)
     select $1, r."assignmentId", r.id, $3, r."depotId", r.duty, r."specSheetId", r."intervalPlanId", r.status, $4
     from jsonb_to_recordset($2::jsonb) as r("assignmentId" uuid, id uuid, "depotId" uuid, duty text, "specSheetId" uuid, "intervalPlanId" uuid, status text)`,
    [fleetId, JSON.stringify(rows), FROM_EVER, tokenId, importId],
  );
}

/** The vehicles with one of the unit numbers, VINs or ids. */
export function vehiclesNamed(
  tx: EntityManager,
  fleetId: string,
  { units = [], vins = [], ids = [] }: { units?: string[]; vins?: string[]; ids?: string[] },
): Promise<Vehicle[]> {
  return tx
    .createQueryBuilder(Vehicle, 'v')
    .where(
      `v.fleetId = :fleetId and v.id in (
         select id from vehicles where fleet_id = :fleetId and unit_number = any(:units)
         union select id from vehicles where fleet_id = :fleetId and vin = any(:vins)
         union select id from vehicles where fleet_id = :fleetId and id = any(:ids))`,
      { fleetId, units, vins, ids },
    )
    .getMany();
}

/** The unit number of another vehicle that has the VIN. Null when there is none. */
export async function otherWithVin(
  tx: EntityManager,
  { fleetId, id, vin }: Pick<Vehicle, 'fleetId' | 'id' | 'vin'>,
): Promise<string | null> {
  const [other] = await tx.query<{ unitNumber: string }[]>(
    'select unit_number as "unitNumber" from vehicles where fleet_id = $1 and vin = $2 and id <> $3',
    [fleetId, vin, id],
  );
  return other?.unitNumber ?? null;
}

export interface Named {
  id: string;
  name: string;
}

/** The tables of the things that a vehicle is assigned to. */
export type NamedTable = 'depots' | 'spec_sheets' | 'interval_plans';

/** The rows with one of the names, in upper or lower case, or with one of the ids. */
export function namedRows(
  manager: EntityManager,
  fleetId: string,
  table: NamedTable,
  names: readonly string[],
): Promise<Named[]> {
  return manager.query<Named[]>(
    `select id, name from ${table} where fleet_id = $1 and (lower(name) = any($2::text[]) or id::text = any($2::text[])) order by name`,
    [fleetId, names.map((name) => name.toLowerCase())],
  );
}

/** Names from which to suggest one. */
export async function someNames(
  manager: EntityManager,
  fleetId: string,
  table: NamedTable,
): Promise<string[]> {
  const rows = await manager.query<{ name: string }[]>(
    `select name from ${table} where fleet_id = $1 order by name limit 1000`,
    [fleetId],
  );
  return rows.map(({ name }) => name);
}

/** Adds the filters of the list. */
export function narrowVehicles(
  builder: SelectQueryBuilder<Vehicle>,
  { depotId, status, unitNumber, released, without, q }: Omit<VehicleQuery, 'limit' | 'cursor'>,
): void {
  if (depotId) builder.andWhere('r.depotId = :depotId', { depotId });
  if (status) builder.andWhere('r.status = :status', { status });
  if (unitNumber) builder.andWhere('r.unitNumber = :unitNumber', { unitNumber });
  if (released)
    builder.andWhere(
      'r.id = any(array(select l.vehicle_id from due_lines l where l.fleet_id = :releasedIn and l.is_open and l.released_with is not null))',
      { releasedIn: fleetScope().fleetId },
    );
  if (without) builder.andWhere(`r.${UNASSIGNED[without]} is null`);
  if (q) searchFor(builder, q);
}

const UNASSIGNED = { plan: 'intervalPlanId', sheet: 'specSheetId' } as const;

/** What people leave out of a unit number, or put in. */
const MARKS = ' -_.#/';

const containing = (part: string): string => `%${part.replaceAll(/[\\%_]/g, '\\$&')}%`;

function searchFor(builder: SelectQueryBuilder<Vehicle>, q: string): void {
  const bare = [...q].filter((character) => !MARKS.includes(character)).join('');
  const asTyped = ['unitNumber', 'make', 'model', 'vin', 'serialNumber'];
  const conditions = asTyped.map((name) => `r.${name} ilike :pattern`);
  if (bare !== '')
    for (const name of ['unitNumber', 'vin'])
      conditions.push(`translate(r.${name}, '${MARKS}', '') ilike :bare`);
  builder.andWhere(`(${conditions.join(' or ')})`, { pattern: containing(q), bare: containing(bare) });
}

/**
 * What the vehicles refer to, by id: the names of depots, sheets and plans, and the unit numbers of
 * carriers.
 */
export async function namesById(
  manager: EntityManager,
  fleetId: string,
  vehicles: readonly Vehicle[],
): Promise<Map<string, string>> {
  const idsOf = (key: 'depotId' | 'specSheetId' | 'intervalPlanId' | 'mountedOn'): string[] => [
    ...new Set(vehicles.flatMap((vehicle) => vehicle[key] ?? [])),
  ];
  const rows = await manager.query<Named[]>(
    `select id, name from depots where fleet_id = $1 and id = any($2::uuid[])
     union all select id, name from spec_sheets where fleet_id = $1 and id = any($3::uuid[])
     union all select id, name from interval_plans where fleet_id = $1 and id = any($4::uuid[])
     union all select id, unit_number from vehicles where fleet_id = $1 and id = any($5::uuid[])`,
    [fleetId, idsOf('depotId'), idsOf('specSheetId'), idsOf('intervalPlanId'), idsOf('mountedOn')],
  );
  return new Map(rows.map(({ id, name }) => [id, name]));
}

/**
 * Locks vehicles by id or unit number, always in the same order so that two batches cannot
 * deadlock.
 */
export function lockVehicles(
  tx: EntityManager,
  fleetId: string,
  ids: string[],
  unitNumbers: string[],
): Promise<{ id: string; unit_number: string }[]> {
  return runStatement(tx, {
    name: 'lock_vehicles',
    text: `select id, unit_number from vehicles
     where fleet_id = $1 and id in (
       select id from vehicles where fleet_id = $1 and id = any($2::uuid[])
       union select id from vehicles where fleet_id = $1 and unit_number = any($3::text[]))
     order by id for no key update`,
    values: [fleetId, ids, unitNumbers],
  });
}
