import type { EntityManager } from 'typeorm';
import type { Message } from '../../domain/message.js';
import { runStatement, type Statement } from '../../platform/database/statement.js';
import type { TargetKind } from '../../entities/reminder.entity.js';
import {
  BEHIND_AFTER,
  type DeliveryTrouble,
  type DeliveryTroubleKind,
  IS_GONE,
  NO_WORKER_AFTER,
} from './delivery-trouble.js';

const LIVE = 't.disabled_at is null and t.removed_at is null';
const OF_TARGET = 't.id as "targetId", t.kind as "targetKind", t.address';
const OF_NONE = 'null::uuid as "targetId", null as "targetKind", null as address';

/** One person's target does not hear of work that is assigned to nobody. */
const HEARS_DUE = `'due-line' = any(t.hears) and t.person_id is null`;

/**
 * One query for each kind of trouble. Each reads only a few rows, by index: the fleet's targets,
 * and the oldest waiting work. `$1` is the fleet and `$2` the service's current time. Times written
 * by the database are compared with the database's clock.
 */
const STANDING = [
  `select 'nobody-hears' as kind, ${OF_NONE},
     (select max(least(t.disabled_at, t.removed_at)) from reminder_targets t where t.fleet_id = $1 and ${HEARS_DUE}) as since,
     null::jsonb as reason, exists (select from reminder_targets t where t.fleet_id = $1 and ${LIVE}) as "isOtherHeard"
   where not exists (select from reminder_targets t where t.fleet_id = $1 and ${LIVE} and ${HEARS_DUE})`,
  `select 'target-disabled', ${OF_TARGET}, t.disabled_at, null, false
   from reminder_targets t where t.fleet_id = $1 and t.removed_at is null and ${IS_GONE}`,
  `select 'target-failing', ${OF_TARGET}, t.failing_since, t.failing_reason, false
   from reminder_targets t where t.fleet_id = $1 and ${LIVE} and t.failing_since is not null`,
  `select 'no-worker', ${OF_NONE}, w.seen_at, null, false
   from (select max(seen_at) as seen_at from workers) w where w.seen_at is null or w.seen_at < now() - interval '${NO_WORKER_AFTER}'`,
  `select 'sweep-behind', ${OF_NONE}, s.requested_at, null, false
   from (select min(requested_at) as requested_at from sweep_requests where fleet_id = $1) s
   where s.requested_at < now() - interval '${BEHIND_AFTER}'`,
  `(select 'reminders-behind', ${OF_NONE}, r.next_attempt_at, null, false
   from reminders r
   where r.fleet_id = $1 and r.status = 'waiting' and r.digest_id is null and r.next_attempt_at < $2::timestamptz - interval '${BEHIND_AFTER}'
   order by r.next_attempt_at limit 1)`,
];

interface TroubleRow {
  kind: DeliveryTroubleKind;
  targetId: string | null;
  targetKind: TargetKind | null;
  address: string | null;
  since: Date | null;
  reason: Message | null;
  isOtherHeard: boolean;
}

/** The statement that finds what keeps reminders from reaching a fleet. */
export function troublesStatement(fleetId: string, now: Date): Statement {
  return {
    name: 'standing_troubles',
    text: STANDING.join('\n union all\n '),
    values: [fleetId, now.toISOString()],
  };
}

/** Returns what keeps reminders from reaching a fleet now, in the order of `DELIVERY_TROUBLES`. */
export async function standingTroubles(
  manager: EntityManager,
  fleetId: string,
  now: Date,
): Promise<DeliveryTrouble[]> {
  const rows = await runStatement<TroubleRow[]>(manager, troublesStatement(fleetId, now));
  return rows.map(({ kind, since, reason, isOtherHeard, targetId, targetKind, address }) => ({
    ...{ kind, since, reason, isOtherHeard },
    target:
      targetId === null || targetKind === null || address === null
        ? null
        : { id: targetId, kind: targetKind, address },
  }));
}

/** Marks a target as failing. If it was failing before, it keeps its `failing_since`. */
export async function markFailing(
  tx: EntityManager,
  fleetId: string,
  targetId: string,
  reason: Message,
  now: Date,
): Promise<void> {
  await tx.query(
    `update reminder_targets set failing_since = $4, failing_reason = $3::jsonb
     where fleet_id = $1 and id = $2 and failing_since is null`,
    [fleetId, targetId, JSON.stringify(reason), now],
  );
}

/** Marks a target as working, after a message got through. */
export async function markWorking(manager: EntityManager, fleetId: string, targetId: string): Promise<void> {
  await manager.query(
    `update reminder_targets set failing_since = null, failing_reason = null
     where fleet_id = $1 and id = $2 and failing_since is not null`,
    [fleetId, targetId],
  );
}
