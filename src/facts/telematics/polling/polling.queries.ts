import type { EntityManager } from 'typeorm';
import type { Message } from '../../../domain/message.js';
import { type Intake, TelematicsSource } from '../../../entities/telematics-source.entity.js';

/**
 * How many sources of one fleet are polled at a time, so that the slow ones of one fleet leave room
 * for others.
 */
const MOST_AT_ONCE = 5;

/**
 * Begins a poll of a source whose time has come: takes the lease, so that nobody else polls it.
 *
 * @returns null when there is nothing to do now: it is not due, paused, removed or being polled, or
 * enough others of the fleet are
 */
export async function beginPoll(
  manager: EntityManager,
  fleetId: string,
  sourceId: string,
  now: Date,
  until: Date,
): Promise<TelematicsSource | null> {
  const { affected } = await manager
    .createQueryBuilder()
    .update(TelematicsSource)
    .set({ polledUntil: until })
    .where(
      `fleetId = :fleetId and id = :sourceId and kind <> 'push' and pausedAt is null and nextPollAt <= :now and (polledUntil is null or polledUntil <= :now)
       and (select count(*) from telematics_sources o where o.fleet_id = :fleetId and o.polled_until > :now) < :most`,
      { fleetId, sourceId, now, most: MOST_AT_ONCE },
    )
    .execute();
  if (!affected) return null;
  return manager.findOneBy(TelematicsSource, { fleetId, id: sourceId });
}

/**
 * Locks a source that is being polled until the transaction ends, and renews the lease.
 *
 * @param until when the lease was to end, by which it is recognised
 * @returns false when the lease was lost: the source was removed, or another worker polls it
 */
export async function renewLease(
  tx: EntityManager,
  fleetId: string,
  sourceId: string,
  until: Date,
  renewed: Date,
): Promise<boolean> {
  const { affected } = await tx.update(
    TelematicsSource,
    { fleetId, id: sourceId, polledUntil: until },
    { polledUntil: renewed },
  );
  return affected === 1;
}

/** How a poll ended. */
export interface PollEnd {
  nextPollAt: Date;
  /** Where the next poll goes on; null when this one has read everything. */
  resumeAt: string | null;
  /** When the poll began, if it has read everything. */
  completeSince: Date | null;
  failure: Message | null;
  intake: Intake;
  newestAt: Date | null;
  now: Date;
}

/** Records how a poll ended and gives the lease back, unless it was lost. */
export async function endPoll(
  manager: EntityManager,
  fleetId: string,
  sourceId: string,
  until: Date,
  { nextPollAt, resumeAt, completeSince, failure, intake, newestAt, now }: PollEnd,
): Promise<void> {
  await manager.query(
    `update telematics_sources set polled_until = null, next_poll_at = $4, resume_at = $5, complete_since = coalesce($6, complete_since),
       failure = $7::jsonb, failures = case when $7::jsonb is null then 0 else failures + 1 end,
       failing_since = case when $7::jsonb is null then null else coalesce(failing_since, $10) end,
       last_success_at = case when $7::jsonb is null then $10 else last_success_at end,
       newest_at = greatest(newest_at, $9), last_intake = case when $7::jsonb is null or ($8::jsonb ->> 'pages')::int > 0 then $8::jsonb else last_intake end
     where fleet_id = $1 and id = $2 and polled_until = $3`,
    [
      ...[fleetId, sourceId, until, nextPollAt, resumeAt, completeSince],
      failure && JSON.stringify(failure),
      ...[JSON.stringify(intake), newestAt, now],
    ],
  );
}
