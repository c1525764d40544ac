import type { EntityManager } from 'typeorm';
import { fleetScope } from '../platform/scope/fleet-scope.js';
import { keptByHistory } from '../platform/problems/constraint-problems.js';
import { VehicleAssignment } from './vehicle.entity.js';

/**
 * Refuses to delete a row that a vehicle was ever assigned to, because the vehicle's history would
 * name something that no longer exists. Call it after deleting the row, in the same transaction:
 * from then on no vehicle can be assigned to it.
 *
 * @throws Problem 409
 */
export async function assertNeverAssigned(
  tx: EntityManager,
  what: { depotId: string } | { specSheetId: string } | { intervalPlanId: string },
): Promise<void> {
  if (await tx.existsBy(VehicleAssignment, { fleetId: fleetScope().fleetId, ...what })) {
    throw keptByHistory();
  }
}
