import { type EntityManager, IsNull } from 'typeorm';
import { Session } from '../../entities/session.entity.js';
import { SignInLink } from '../../entities/sign-in-link.entity.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';

/** Ends a person's sessions everywhere, and voids the links that have not been used. */
export async function signOut(tx: EntityManager, personId: string, now: Date): Promise<void> {
  const { fleetId } = fleetScope();
  await tx.update(Session, { fleetId, personId, revokedAt: IsNull() }, { revokedAt: now });
  await tx.delete(SignInLink, { fleetId, personId, redeemedAt: IsNull() });
}
