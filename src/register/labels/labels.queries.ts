import type { EntityManager } from 'typeorm';
import type { DriverLabels } from '../../domain/defects/label-report.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import type { Language } from '../../platform/words/languages.js';

export interface LabelRow {
  /** The vehicle's. */
  id: string;
  unitNumber: string;
  secret: Buffer;
  madeAt: Date;
}

/** The labels of vehicles. Those without one are left out. */
export function labelsOf(manager: EntityManager, vehicleIds: readonly string[]): Promise<LabelRow[]> {
  return manager.query<LabelRow[]>(
    `select v.id, v.unit_number as "unitNumber", l.secret, l.made_at as "madeAt"
     from vehicle_labels l join vehicles v on v.fleet_id = $1 and v.id = l.vehicle_id
     where l.fleet_id = $1 and l.vehicle_id = any($2::uuid[]) order by v.unit_number`,
    [fleetScope().fleetId, vehicleIds],
  );
}

/** The label with a secret, among those that whoever asks may see. */
export async function labelWith(manager: EntityManager, secret: Buffer): Promise<LabelRow | null> {
  const [row] = await manager.query<LabelRow[]>(
    `select v.id, v.unit_number as "unitNumber", l.secret, l.made_at as "madeAt"
     from vehicle_labels l join vehicles v on v.fleet_id = $1 and v.id = l.vehicle_id
     where l.fleet_id = $1 and l.secret = $2`,
    [fleetScope().fleetId, secret],
  );
  return row ?? null;
}

/** SQL for 128 random bits, from PostgreSQL's source of random UUIDs. */
const SECRET = `substr(sha256(uuid_send(gen_random_uuid()) || uuid_send(gen_random_uuid())), 1, 16)`;

/**
 * Makes labels for vehicles in use or laid up that have none, by unit number.
 *
 * @param of some vehicles, a depot, or neither for the whole fleet
 * @returns how many were made
 */
export async function makeLabels(
  tx: EntityManager,
  { vehicleIds = null, depotId = null }: { vehicleIds?: string[] | null; depotId?: string | null },
  at: Date,
  most: number,
): Promise<number> {
  const rows = await tx.query<unknown[]>(
    `insert into vehicle_labels (fleet_id, id, vehicle_id, secret, made_at)
     select $1, gen_random_uuid(), v.id, ${SECRET}, $2 from vehicles v
     where v.fleet_id = $1 and v.status <> 'disposed' and ($3::uuid[] is null or v.id = any($3::uuid[]))
       and ($4::uuid is null or v.depot_id = $4)
       and not exists (select from vehicle_labels l where l.fleet_id = $1 and l.vehicle_id = v.id)
     order by v.unit_number limit $5
     on conflict do nothing returning id`,
    [fleetScope().fleetId, at, vehicleIds, depotId, most],
  );
  return rows.length;
}

/** Gives a label another secret, so that the old one no longer works. @returns whether there is one */
export async function renewLabel(tx: EntityManager, vehicleId: string, at: Date): Promise<boolean> {
  const [rows] = await tx.query<[unknown[], number]>(
    `update vehicle_labels set secret = ${SECRET}, made_at = $3 where fleet_id = $1 and vehicle_id = $2 returning id`,
    [fleetScope().fleetId, vehicleId, at],
  );
  return rows.length > 0;
}

/** A vehicle that was found by its label, and what the page needs to know of its fleet. */
export interface LabelledVehicle {
  fleetId: string;
  vehicleId: string;
  unitNumber: string;
  takes: DriverLabels;
  timeZone: string;
  units: 'us' | 'si';
  language: Language;
}

/**
 * Finds the vehicle of a label that works. Null for every other code, whatever the reason, so that
 * nobody learns which codes exist.
 */
export async function vehicleOfLabel(
  manager: EntityManager,
  { fleetId, secret }: { fleetId: string; secret: Buffer },
): Promise<LabelledVehicle | null> {
  const [row] = await manager.query<LabelledVehicle[]>(
    `select f.id as "fleetId", v.id as "vehicleId", v.unit_number as "unitNumber", f.driver_labels as takes,
       f.time_zone as "timeZone", f.units, f.language
     from vehicle_labels l
     join vehicles v on v.fleet_id = $1 and v.id = l.vehicle_id and v.status <> 'disposed'
     join fleets f on f.id = $1 and f.driver_labels <> 'none'
     where l.fleet_id = $1 and l.secret = $2`,
    [fleetId, secret],
  );
  return row ?? null;
}
