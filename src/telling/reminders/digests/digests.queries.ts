import type { EntityManager } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import { CATCH_UP, type DigestReason } from '../news/digest-reasons.js';
import { hasOpenDigest, IS_LIVE } from '../news/target-filter.sql.js';
import { recordNews } from '../news/untold-news.queries.js';
import type { ReminderStatus } from '../../../entities/reminder.entity.js';

/** A target that is to get a digest, and its sending hours. */
export interface DigestTarget {
  targetId: string;
  sendFrom: string | null;
  sendTo: string | null;
}

/** Targets with a daily digest that have no open digest yet. */
export function dailyTargets(manager: EntityManager, fleetId: string): Promise<DigestTarget[]> {
  return manager.query<DigestTarget[]>(
    `select t.id as "targetId", t.send_from as "sendFrom", t.send_to as "sendTo" from reminder_targets t
     where t.fleet_id = $1 and ${IS_LIVE} and t.digest = 'daily' and not ${hasOpenDigest()} order by t.id`,
    [fleetId],
  );
}

/** Whether the target has a waiting catch-up digest that has not collected its content yet. */
export async function gathers(tx: EntityManager, fleetId: string, targetId: string): Promise<boolean> {
  const [row] = await tx.query<{ there: boolean }[]>(
    `select ${hasOpenDigest(`${CATCH_UP}%`)} as there from reminder_targets t where t.fleet_id = $1 and t.id = $2`,
    [fleetId, targetId],
  );
  return row?.there ?? false;
}

/**
 * Records a digest. It collects its content when its time comes.
 *
 * @param occasion the day, or the target's version; the same occasion gives the same digest
 * @returns its id; null when a digest of that occasion exists already
 */
export async function recordDigest(
  tx: EntityManager,
  fleetId: string,
  targetId: string,
  reason: DigestReason,
  occasion: string,
  sendAt: Date,
  now: Date,
): Promise<string | null> {
  const [made] = await recordNews(
    tx,
    fleetId,
    [
      {
        ...{ id: uuidv7(), targetId, news: 'digest', subjectId: targetId, vehicleId: null, digestId: null },
        ...{ cycle: `${reason} ${occasion}`, nextAttemptAt: sendAt },
      },
    ],
    now,
  );
  return made?.id ?? null;
}

/** Gives everything in a digest the digest's own outcome. */
export async function endMembers(
  tx: EntityManager,
  fleetId: string,
  digestId: string,
  status: ReminderStatus,
  sentAt: Date | null,
): Promise<void> {
  await tx.query(
    `update reminders set status = $3, sent_at = coalesce($4, sent_at) where fleet_id = $1 and digest_id = $2`,
    [fleetId, digestId, status, sentAt],
  );
}

/**
 * Locks the digest's row until the transaction ends. @returns its message, if another worker has
 * already made it, and its cycle
 */
export async function lockedDigest(
  tx: EntityManager,
  fleetId: string,
  digestId: string,
): Promise<{ body: string | null; cycle: string }> {
  const [row] = await tx.query<{ body: string | null; cycle: string }[]>(
    'select body, cycle from reminders where fleet_id = $1 and id = $2 for no key update',
    [fleetId, digestId],
  );
  if (!row) throw new Error(`the digest ${digestId} is gone`);
  return row;
}

/** The number of members of a digest, by kind: a stage of due lines, or another kind of news. */
export async function membersByKind(
  tx: EntityManager,
  fleetId: string,
  digestId: string,
): Promise<Record<string, number>> {
  const rows = await tx.query<{ kind: string; count: number }[]>(
    `select coalesce(stage, news) as kind, count(*)::integer as count from reminders
     where fleet_id = $1 and digest_id = $2 group by 1 order by 1`,
    [fleetId, digestId],
  );
  return Object.fromEntries(rows.map(({ kind, count }) => [kind, count]));
}

/**
 * Stores the message of a reminder's first attempt. @returns the stored message, which another
 * worker may have stored first
 */
export async function keepBody(
  manager: EntityManager,
  fleetId: string,
  reminderId: string,
  body: string,
): Promise<string> {
  const [rows] = await manager.query<[{ body: string }[], number]>(
    'update reminders set body = coalesce(body, $3) where fleet_id = $1 and id = $2 returning body',
    [fleetId, reminderId, body],
  );
  return rows[0]?.body ?? body;
}
