import type { EntityManager } from 'typeorm';
import type { MatchedBy } from '../../../entities/telematics-source.entity.js';
import { arrayLiteral } from '../../../platform/database/array-literal.js';
import { runStatement } from '../../../platform/database/statement.js';
import type { Message } from '../../../domain/message.js';

/** A machine that a source has named before. */
export interface KnownMachine {
  id: string;
  key: string;
  vehicleId: string | null;
  matchedBy: MatchedBy | null;
  firstSeenAt: Date;
  reportedAt: Date | null;
  odometerKm: number | null;
  odometerAt: Date | null;
  engineHours: number | null;
  engineHoursAt: Date | null;
}

const KNOWN = `m.id, m.key, m.vehicle_id as "vehicleId", m.matched_by as "matchedBy", m.first_seen_at as "firstSeenAt", m.reported_at as "reportedAt",
  m.odometer_km as "odometerKm", m.odometer_at as "odometerAt", m.engine_hours as "engineHours", m.engine_hours_at as "engineHoursAt"`;

/** Those of some machines of a source that are known. */
export function knownMachines(
  tx: EntityManager,
  fleetId: string,
  sourceId: string,
  keys: readonly string[],
): Promise<KnownMachine[]> {
  return runStatement(tx, {
    name: 'known_machines',
    text: `select ${KNOWN} from telematics_machines m where m.fleet_id = $1 and m.source_id = $2 and m.key = any($3::text[])`,
    values: [fleetId, sourceId, keys],
  });
}

/** How many machines the sources of a fleet have named. */
export async function countMachines(tx: EntityManager, fleetId: string): Promise<number> {
  const [row] = await runStatement<{ present: number }[]>(tx, {
    name: 'count_machines',
    text: 'select count(*)::int as present from telematics_machines m where m.fleet_id = $1',
    values: [fleetId],
  });
  return row?.present ?? 0;
}

/** A vehicle that a machine may be. */
export interface Candidate {
  id: string;
  vin: string | null;
  serialNumber: string | null;
  make: string | null;
}

/** The vehicles that have one of the VINs, or one of the serial numbers. */
export function candidates(
  tx: EntityManager,
  fleetId: string,
  vins: readonly string[],
  serialNumbers: readonly string[],
): Promise<Candidate[]> {
  return runStatement(tx, {
    name: 'candidate_vehicles',
    text: `select v.id, v.vin, v.serial_number as "serialNumber", v.make from vehicles v
     where v.fleet_id = $1 and v.id in (
       select id from vehicles where fleet_id = $1 and vin = any($2::text[])
       union select id from vehicles where fleet_id = $1 and serial_number = any($3::text[]))`,
    values: [fleetId, vins, serialNumbers],
  });
}

/** Another machine that was found to be a vehicle, of any source of the fleet. */
export interface MachineOfVehicle {
  id: string;
  vehicleId: string;
  firstSeenAt: Date;
  reportedAt: Date | null;
}

export function machinesOfVehicles(
  tx: EntityManager,
  fleetId: string,
  vehicleIds: readonly string[],
): Promise<MachineOfVehicle[]> {
  return runStatement(tx, {
    name: 'machines_of_vehicles',
    text: `select m.id, m.vehicle_id as "vehicleId", m.first_seen_at as "firstSeenAt", m.reported_at as "reportedAt"
     from telematics_machines m where m.fleet_id = $1 and m.vehicle_id = any($2::uuid[])`,
    values: [fleetId, vehicleIds],
  });
}

/** A machine as it is to be stored; `taken`, `held` and `refused` are added to what is there. */
export interface SeenMachine {
  id: string;
  key: string;
  vin: string | null;
  serialNumber: string | null;
  equipmentId: string | null;
  make: string | null;
  model: string | null;
  vehicleId: string | null;
  matchedBy: MatchedBy | null;
  isAmbiguous: boolean;
  isBeside: boolean;
  reportedAt: Date | null;
  odometerKm: number | null;
  odometerAt: Date | null;
  engineHours: number | null;
  engineHoursAt: Date | null;
  taken: number;
  held: number;
  refused: number;
  lastRefusal: Message | null;
}

/** Stores machines that were seen, new or known: one statement for all. */
export async function saveMachines(
  tx: EntityManager,
  fleetId: string,
  sourceId: string,
  seenAt: Date,
  machines: readonly SeenMachine[],
): Promise<void> {
  const column = (value: (machine: SeenMachine) => string | number | boolean | Date | null): string =>
    arrayLiteral(machines.map(value));
  await runStatement(tx, {
    name: 'save_machines',
    text: `insert into telematics_machines as m (fleet_id, source_id, first_seen_at, last_seen_at, id, key, vin, serial_number, equipment_id, make, model,
       vehicle_id, matched_by, is_ambiguous, is_beside, reported_at, odometer_km, odometer_at, engine_hours, engine_hours_at, taken, held, refused, last_refusal)
     select $1, $2, $3, $3, r.* from unnest($4::uuid[], $5::text[], $6::text[], $7::text[], $8::text[], $9::text[], $10::text[], $11::uuid[], $12::text[], $13::bool[],
       $14::bool[], $15::timestamptz[], $16::float8[], $17::timestamptz[], $18::float8[], $19::timestamptz[], $20::int[], $21::int[], $22::int[], $23::jsonb[]) as r
     on conflict (fleet_id, source_id, key) do update set last_seen_at = excluded.last_seen_at, vin = excluded.vin, serial_number = excluded.serial_number,
       equipment_id = excluded.equipment_id, make = excluded.make, model = excluded.model, vehicle_id = excluded.vehicle_id, matched_by = excluded.matched_by,
       is_ambiguous = excluded.is_ambiguous, is_beside = excluded.is_beside, reported_at = greatest(m.reported_at, excluded.reported_at),
       odometer_km = excluded.odometer_km, odometer_at = excluded.odometer_at, engine_hours = excluded.engine_hours, engine_hours_at = excluded.engine_hours_at,
       taken = m.taken + excluded.taken, held = m.held + excluded.held, refused = m.refused + excluded.refused,
       last_refusal = coalesce(excluded.last_refusal, m.last_refusal)`,
    values: [
      ...[fleetId, sourceId, seenAt],
      ...[column((m) => m.id), column((m) => m.key), column((m) => m.vin), column((m) => m.serialNumber)],
      ...[column((m) => m.equipmentId), column((m) => m.make), column((m) => m.model)],
      ...[column((m) => m.vehicleId), column((m) => m.matchedBy)],
      ...[column((m) => m.isAmbiguous), column((m) => m.isBeside), column((m) => m.reportedAt)],
      ...[column((m) => m.odometerKm), column((m) => m.odometerAt)],
      ...[column((m) => m.engineHours), column((m) => m.engineHoursAt)],
      ...[column((m) => m.taken), column((m) => m.held), column((m) => m.refused)],
      column((m) => m.lastRefusal && JSON.stringify(m.lastRefusal)),
    ],
  });
}
