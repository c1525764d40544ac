import type { DataSource } from 'typeorm';
import { type FleetScope, inFleet } from '../../platform/scope/fleet-scope.js';
import { Fleet } from '../../entities/fleet.entity.js';

/**
 * Runs a background job on behalf of a fleet, in its time zone and units as they are now.
 *
 * @returns what the work returns; null when there is no such fleet
 */
export async function workForFleet<T>(
  dataSource: DataSource,
  fleetId: string,
  work: (fleet: Fleet) => Promise<T>,
): Promise<T | null> {
  // Finding the fleet's own row takes its scope already; what else the scope says is known only
  // then.
  const bare: FleetScope = { fleetId, timeZone: 'UTC', units: 'si', tokenId: null, role: null };
  const fleet = await inFleet(bare, () => dataSource.manager.findOneBy(Fleet, { id: fleetId }));
  if (!fleet) return null;
  return inFleetWork(fleet, () => work(fleet));
}

/** Runs a part of a background job on behalf of its fleet, which was found before. */
export function inFleetWork<T>({ id: fleetId, timeZone, units, language }: Fleet, work: () => T): T {
  return inFleet({ fleetId, timeZone, units, language, tokenId: null, role: null }, work);
}
