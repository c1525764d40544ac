import { type EntityManager, IsNull } from 'typeorm';
import { AccessToken } from '../../entities/access-token.entity.js';
import { conflict } from '../../platform/problems/problem.js';
import { message } from './messages.js';

const isInForce = ({ expiresAt }: AccessToken, now: Date): boolean => expiresAt === null || expiresAt > now;

/**
 * Makes sure that the fleet keeps a manager token that does not expire. Otherwise nobody could
 * issue tokens one day. Locks all manager tokens, because two managers may be revoking each
 * other's.
 *
 * @param leaving the tokens that are about to be revoked
 * @throws Problem 409 when no manager token without an expiry would be left
 */
export async function assertManagerLeft(
  tx: EntityManager,
  fleetId: string,
  leaving: readonly AccessToken[],
  now: Date,
): Promise<void> {
  if (!leaving.some((token) => token.role === 'manager' && isInForce(token, now))) return;
  const managers = await tx.find(AccessToken, {
    where: { fleetId, role: 'manager', revokedAt: IsNull() },
    order: { id: 'ASC' },
    lock: { mode: 'for_no_key_update' },
  });
  const others = managers.filter(({ id }) => !leaving.some((token) => token.id === id));
  if (others.some(({ expiresAt }) => expiresAt === null)) return;
  const [longest] = others
    .filter((other) => isInForce(other, now))
    .sort((a, b) => Number(b.expiresAt) - Number(a.expiresAt));
  throw conflict(
    'last-manager-token',
    longest
      ? message('last-manager-token-but-expiring', {
          name: longest.name,
          expires: longest.expiresAt?.toISOString() ?? '',
        })
      : message('last-manager-token'),
  );
}
