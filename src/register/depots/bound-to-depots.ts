import { type EntityManager, In } from 'typeorm';
import { Depot } from '../../entities/depot.entity.js';
import { noSuch, unacceptable } from '../../platform/problems/problem.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import type { Role } from '../../platform/scope/roles.js';
import { message } from './messages.js';

/**
 * Returns the depots that a token or a person is to be bound to; null for the whole fleet.
 *
 * @throws Problem 422 for a manager, who manages what all depots share, for an empty list, and for
 *   unknown depots
 */
export async function boundToDepots(
  tx: EntityManager,
  { role, depotIds }: { role: Role; depotIds?: string[] | null },
): Promise<string[] | null> {
  if (!depotIds) return null;
  const pointer = '/depotIds';
  if (role === 'manager') throw unacceptable([{ pointer, detail: message('token-manager-not-bound') }]);
  if (depotIds.length === 0) throw unacceptable([{ pointer, detail: message('token-depots-empty') }]);
  const ids = depotIds.map((id) => id.toLowerCase());
  const found = await tx.find(Depot, {
    select: { id: true },
    where: { fleetId: fleetScope().fleetId, id: In(ids) },
  });
  const missing = ids.flatMap((id, index) =>
    found.some((depot) => depot.id === id)
      ? []
      : [{ pointer: `${pointer}/${index}`, detail: noSuch('depot') }],
  );
  if (missing.length > 0) throw unacceptable(missing);
  return ids;
}
