import { type EntityManager, Not } from 'typeorm';
import { conflict, unacceptable } from '../../platform/problems/problem.js';
import { Vehicle } from '../../entities/vehicle.entity.js';
import { carrierFault } from './vehicle-rules.js';
import type { Message } from '../../domain/message.js';
import { message } from './messages.js';

/** The units mounted on a carrier that are not disposed of, locked in order of their ids. */
export function lockMountedUnits(tx: EntityManager, { fleetId, id }: Vehicle): Promise<Vehicle[]> {
  return tx.find(Vehicle, {
    where: { fleetId, mountedOn: id, status: Not('disposed') },
    order: { id: 'ASC' },
    lock: { mode: 'for_no_key_update' },
  });
}

/**
 * A carrier cannot be disposed of while engines are mounted on it, because they would drop out of
 * sight.
 *
 * @throws Problem 409 naming the engines
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
 * Finds the carrier of a unit. It must still be in the fleet and not be mounted on another vehicle,
 * so that the unit's place is always clear.
 *
 * @returns the carrier, or null for a vehicle that is not mounted on another
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
