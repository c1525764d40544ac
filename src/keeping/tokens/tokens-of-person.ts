import { type EntityManager, IsNull } from 'typeorm';
import { AccessToken } from '../../entities/access-token.entity.js';
import { Person } from '../../entities/person.entity.js';
import { noSuch, unacceptable } from '../../platform/problems/problem.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import type { Role } from '../../platform/scope/roles.js';
import { assertManagerLeft } from './lasting-manager.js';
import { message } from './messages.js';

/** The roles of people that a token of a role may be given to. Any, unless listed. */
const NOT_BEYOND: Partial<Record<Role, readonly Role[]>> = {
  manager: ['manager'],
  mechanic: ['manager', 'mechanic'],
};

/**
 * Returns whose token it is to be; null for nobody in particular. The person's row stays locked, so
 * that the person cannot leave meanwhile.
 *
 * @throws Problem 422 for an unknown person, one who has left, and for a token that may do or see
 *   more than the person
 */
export async function ownerOf(
  tx: EntityManager,
  { role, personId }: { role: Role; personId?: string | null },
  depotIds: readonly string[] | null,
): Promise<string | null> {
  if (!personId) return null;
  const person = await tx.findOne(Person, {
    where: { fleetId: fleetScope().fleetId, id: personId.toLowerCase() },
    lock: { mode: 'for_key_share' },
  });
  if (!person) throw unacceptable([{ pointer: '/personId', detail: noSuch('person') }]);
  if (person.leftAt !== null)
    throw unacceptable([{ pointer: '/personId', detail: message('token-person-left') }]);
  if (NOT_BEYOND[role]?.includes(person.role) === false) {
    const detail = message('token-beyond-person-role', { role, own: person.role });
    throw unacceptable([{ pointer: '/role', detail }]);
  }
  const seen = person.depotIds;
  if (seen !== null && (depotIds === null || depotIds.some((id) => !seen.includes(id))))
    throw unacceptable([{ pointer: '/depotIds', detail: message('token-beyond-person-depots') }]);
  return person.id;
}

/**
 * Revokes the tokens of a person, whose row is locked. The database tells every process, which ends
 * their streams.
 *
 * @throws Problem 409 when the fleet would lose its last manager token
 */
export async function revokeTokensOf(tx: EntityManager, personId: string, now: Date): Promise<void> {
  const own = { fleetId: fleetScope().fleetId, personId, revokedAt: IsNull() };
  await assertManagerLeft(tx, own.fleetId, await tx.findBy(AccessToken, own), now);
  await tx.update(AccessToken, own, { revokedAt: now });
}
