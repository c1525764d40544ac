import type { DataSource } from 'typeorm';
import { type FleetScope, inFleet } from '../../platform/scope/fleet-scope.js';
import { Fleet } from '../../entities/fleet.entity.js';

/**
 * Runs a background job for a fleet, with the fleet's present time zone and units.
 *
 * @returns what the work returns, or null when there is no such fleet
 */
export async function workForFleet<T>(
  dataSource: DataSource,
  fleetId: string,
  work: (fleet: Fleet) => Promise<T>,
): Promise<T | null> {
  // Even reading the fleet's own row needs its scope. The rest of the scope is known only after
  // that.
  const bare: FleetScope = { fleetId, timeZone: 'UTC', units: 'si', tokenId: null, role: null };
  const fleet = await inFleet(bare, () => dataSource.manager.findOneBy(Fleet, { id: fleetId }));
  if (!fleet) return null;
  return inFleetWork(fleet, () => work(fleet));
}

/** Runs a part of a background job for a fleet that is already loaded. */
export function inFleetWork<T>({ id: fleetId, timeZone, units, language }: Fleet, work: () => T): T {
  return inFleet({ fleetId, timeZone, units, language, tokenId: null, role: null }, work);
}
