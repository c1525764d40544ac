import type { EntityManager } from 'typeorm';
import { BEHIND_AFTER, IS_GONE } from '../../delivery-troubles/delivery-trouble.js';
import { IS_LIVE } from '../news/target-filter.sql.js';

/** A database connection that can see across fleets. */
interface AcrossFleets {
  ask<T>(text: string, values?: unknown[]): Promise<T[]>;
}

/**
 * Fleets in which a change to check or a reminder to send has waited for more than five minutes, in
 * the order of their ids.
 *
 * @param after the last fleet already handled
 */
export function fleetsBehind(
  database: AcrossFleets,
  now: Date,
  after: string | null,
  limit: number,
): Promise<{ fleetId: string }[]> {
  return database.ask(
    `select fleet_id as "fleetId" from (
       select distinct fleet_id from sweep_requests where requested_at < now() - interval '${BEHIND_AFTER}'
       union
       select distinct fleet_id from reminders
       where status = 'waiting' and digest_id is null and next_attempt_at < $1::timestamptz - interval '${BEHIND_AFTER}') f
     where $2::uuid is null or fleet_id > $2 order by fleet_id limit $3`,
    [now, after, limit],
  );
}

/** Counts over all fleets together. */
export interface TroubleCounts {
  deafFleets: number;
  disabledTargets: number;
  failingTargets: number;
  /** Null when none is waiting. */
  oldestRequestSeconds: number | null;
}

export async function troubleCounts(database: AcrossFleets): Promise<TroubleCounts | undefined> {
  const [counts] = await database.ask<TroubleCounts>(
    `select
       (select count(*)::int from fleets f where not exists (
          select from reminder_targets t where t.fleet_id = f.id and ${IS_LIVE} and 'due-line' = any(t.hears) and t.person_id is null)) as "deafFleets",
       count(*) filter (where t.removed_at is null and ${IS_GONE})::int as "disabledTargets",
       count(*) filter (where ${IS_LIVE} and t.failing_since is not null)::int as "failingTargets",
       (select extract(epoch from now() - min(requested_at))::float8 from sweep_requests) as "oldestRequestSeconds"
     from reminder_targets t`,
  );
  return counts;
}

/**
 * Returns when a worker was last seen, and whether that is more than this many milliseconds ago;
 * null when none is on record.
 */
export async function lastWorkerSeen(
  manager: EntityManager,
  longMs: number,
): Promise<{ at: Date; isLong: boolean } | null> {
  const [row] = await manager.query<{ at: Date | null; isLong: boolean | null }[]>(
    `select max(seen_at) as at, max(seen_at) < now() - make_interval(secs => $1::float8 / 1000) as "isLong" from workers`,
    [longMs],
  );
  return row?.at ? { at: row.at, isLong: row.isLong ?? false } : null;
}
