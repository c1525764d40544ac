import type { EntityManager } from 'typeorm';
import { lockRoom, noRoom } from '../../platform/limits/fleet-room.js';
import { AccessToken } from '../../entities/access-token.entity.js';
import { message } from './messages.js';

/**
 * @throws Problem 409 when the fleet has reached its maximum number of tokens; revoked and
 *   expired ones do not count
 */
export async function assertRoomForToken(
  tx: EntityManager,
  fleetId: string,
  now: Date,
  limit: number,
): Promise<void> {
  await lockRoom(tx, fleetId, 'tokens');
  const present = await tx
    .createQueryBuilder(AccessToken, 't')
    .where('t.fleetId = :fleetId and t.revokedAt is null', { fleetId })
    .andWhere('(t.expiresAt is null or t.expiresAt > :now)', { now })
    .getCount();
  if (present < limit) return;
  throw noRoom('too-many-tokens', message('too-many-tokens', { present, limit }), { limit, present });
}
