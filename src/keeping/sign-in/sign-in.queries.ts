import type { EntityManager } from 'typeorm';

/** Whose link it is. */
export interface FoundLink {
  fleetId: string;
  id: string;
  personId: string;
  timeZone: string;
  units: 'us' | 'si';
}

/**
 * Finds a sign-in link. The fleet is not known yet, so this calls a database function that sees the
 * links of all fleets.
 */
export async function findLink(manager: EntityManager, hash: Buffer): Promise<FoundLink | null> {
  const [link] = await manager.query<FoundLink[]>(
    `select fleet_id as "fleetId", id, person_id as "personId", time_zone as "timeZone", units from sign_in_link($1)`,
    [hash],
  );
  return link ?? null;
}

/** Uses a link up. @returns whether it could still be used; of several at once, one gets it */
export async function redeemLink(
  tx: EntityManager,
  fleetId: string,
  id: string,
  now: Date,
): Promise<boolean> {
  const [redeemed] = await tx.query<{ count: number }[]>(
    `with redeemed as (
       update sign_in_links set redeemed_at = $3 where fleet_id = $1 and id = $2 and redeemed_at is null and expires_at > $3 returning 1)
     select count(*)::int as count from redeemed`,
    [fleetId, id, now],
  );
  return redeemed?.count === 1;
}

/** Removes a person's links that can no longer be used. */
export async function removeOldLinks(
  tx: EntityManager,
  fleetId: string,
  personId: string,
  now: Date,
): Promise<void> {
  await tx.query(
    `delete from sign_in_links where fleet_id = $1 and person_id = $2 and least(expires_at, redeemed_at) <= $3::timestamptz - interval '1 day'`,
    [fleetId, personId, now],
  );
}

/** Removes the sessions of a person or a token that ended more than a month ago. */
export async function removeOldSessions(
  tx: EntityManager,
  fleetId: string,
  holder: { personId: string | null; tokenId: string | null },
  now: Date,
): Promise<void> {
  await tx.query(
    `delete from sessions where fleet_id = $1 and (person_id = $2 or token_id = $3) and least(expires_at, revoked_at) <= $4::timestamptz - interval '30 days'`,
    [fleetId, holder.personId, holder.tokenId, now],
  );
}
