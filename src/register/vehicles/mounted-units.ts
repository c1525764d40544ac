import { type EntityManager, Not } from 'typeorm';
import { conflict, unacceptable } from '../../platform/problems/problem.js';
import { Vehicle } from '../../entities/vehicle.entity.js';
import { carrierFault } from './vehicle-rules.js';
import type { Message } from '../../domain/message.js';
import { message } from './messages.js';

/** The units mounted on a carrier that are not disposed of, locked in the order of their ids. */
export function lockMountedUnits(tx: EntityManager, { fleetId, id }: Vehicle): Promise<Vehicle[]> {
  return tx.find(Vehicle, {
    where: { fleetId, mountedOn: id, status: Not('disposed') },
    order: { id: 'ASC' },
    lock: { mode: 'for_no_key_update' },
  });
}

/**
 * A carrier is not disposed of with engines on it, of which nobody would hear again.
 *
 * @throws Problem 409 naming them
 */
export function assertCarriesNothing(carrier: Vehicle, units: readonly Vehicle[]): void {
  if (units.length === 0) return;
  const names = units.map(({ unitNumber }) => unitNumber);
  throw conflict(
    'carries-units',
    message('vehicle-carries-units', { vehicle: carrier.unitNumber, units: names }),
  );
}

/**
 * What a unit is mounted on must be a vehicle that carries: one still there, and not itself
 * mounted on another, so that where a unit goes is never in doubt.
 *
 * @returns the carrier; null for a vehicle that stands by itself
 * @throws Problem 422
 */
export async function carrierOf(tx: EntityManager, unit: Vehicle): Promise<Vehicle | null> {
  if (unit.mountedOn === null) return null;
  const fault = (detail: Message) => unacceptable([{ pointer: '/mountedOn', detail }]);
  const { fleetId } = unit;
  const carrier = await tx.findOneBy(Vehicle, { fleetId, id: unit.mountedOn });
  const wrong = carrierFault(unit, carrier);
  if (wrong !== null) throw fault(wrong);
  if (await tx.existsBy(Vehicle, { fleetId, mountedOn: unit.id }))
    throw fault(message('vehicle-carries-others'));
  return carrier;
}
