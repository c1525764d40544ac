import type { EntityManager } from 'typeorm';
import { fleetScope } from '../platform/scope/fleet-scope.js';
import { keptByHistory } from '../platform/problems/constraint-problems.js';
import { VehicleAssignment } from './vehicle.entity.js';

/**
 * Refuses to let go of what a vehicle was ever assigned to: its history would name what no longer
 * exists. Asked after the row is deleted, in the same transaction: from then on no vehicle can be
 * assigned to it.
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
