import type { EntityManager } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import { CATCH_UP, type DigestReason } from '../news/digest-reasons.js';
import { hasOpenDigest, IS_LIVE } from '../news/target-filter.sql.js';
import { recordNews } from '../news/untold-news.queries.js';
import type { ReminderStatus } from '../../../entities/reminder.entity.js';

/** A target that is to get a digest, and the hours in which it may be sent. */
export interface DigestTarget {
  targetId: string;
  sendFrom: string | null;
  sendTo: string | null;
}

/** Targets that are told once a day, and for which no digest gathers already. */
export function dailyTargets(manager: EntityManager, fleetId: string): Promise<DigestTarget[]> {
  return manager.query<DigestTarget[]>(
    `select t.id as "targetId", t.send_from as "sendFrom", t.send_to as "sendTo" from reminder_targets t
     where t.fleet_id = $1 and ${IS_LIVE} and t.digest = 'daily' and not ${hasOpenDigest()} order by t.id`,
    [fleetId],
  );
}

/** Whether a digest of the target waits that has not gathered yet what goes into it. */
export async function gathers(tx: EntityManager, fleetId: string, targetId: string): Promise<boolean> {
  const [row] = await tx.query<{ there: boolean }[]>(
    `select ${hasOpenDigest(`${CATCH_UP}%`)} as there from reminder_targets t where t.fleet_id = $1 and t.id = $2`,
    [fleetId, targetId],
  );
  return row?.there ?? false;
}

/**
 * Records a digest that gathers what goes into it when its time comes.
 *
 * @param occasion makes it the same digest when it is recorded again: the day, or the target's
 * version
 * @returns its id; null when there is one of that occasion already
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

/** Everything in a digest fares as the digest does. */
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
 * The digest's row, locked until the transaction ends. @returns its message, if another has made it
 * already
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

/**
 * How many members a digest has, by what they tell: a stage of due lines, or a kind of other news.
 */
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
 * Keeps the message of a reminder's first attempt. @returns the message kept, which another may
 * have been first to make
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
