import type { EntityManager } from 'typeorm';
import type { Destination } from './message-sender.js';
import type { ReminderNews, ReminderStatus, Stage } from './reminder.entity.js';
import type { SendResult } from './send-result.js';

/** A reminder with its target, as they are now. */
export interface ReminderInHand extends Destination {
  reminderId: string;
  /** How many attempts have begun since it was queued or resent, this one with them. */
  attempt: number;
  targetId: string;
  news: ReminderNews;
  dueLineId: string | null;
  subjectId: string | null;
  stage: Stage | null;
  cycle: string;
  digestId: string | null;
  body: string | null;
  createdAt: Date;
  isTargetOff: boolean;
  sendFrom: string | null;
  sendTo: string | null;
}

/** Of a reminder `r` and its target. */
const IN_HAND = `r.id as "reminderId", r.attempts as attempt, r.target_id as "targetId", r.news, r.due_line_id as "dueLineId",
       r.subject_id as "subjectId", r.stage, r.cycle, r.digest_id as "digestId", r.body, r.created_at as "createdAt",
       t.kind, t.address, t.secret, t.previous_secret as "previousSecret", t.previous_secret_until as "previousSecretUntil",
       (t.disabled_at is not null or t.removed_at is not null) as "isTargetOff", t.send_from as "sendFrom", t.send_to as "sendTo"`;
const OF_TARGET = 'join reminder_targets t on t.fleet_id = r.fleet_id and t.id = r.target_id';

/** In one order, so that two who take some of the same do not wait for each other crosswise. `$2` are the ids. */
const LOCKED_IN_ORDER = `locked as materialized (
       select id from reminders where fleet_id = $1 and id = any($2::uuid[]) order by id for no key update)`;

export async function reminderInHand(
  manager: EntityManager,
  fleetId: string,
  reminderId: string,
): Promise<ReminderInHand | null> {
  const [row] = await manager.query<ReminderInHand[]>(
    `select ${IN_HAND} from reminders r ${OF_TARGET} where r.fleet_id = $1 and r.id = $2`,
    [fleetId, reminderId],
  );
  return row ?? null;
}

/**
 * Takes reminders for one attempt each: moves their time on, so that nobody else takes them meanwhile, and a worker that dies gives them up
 * by itself.
 *
 * @returns those that wait to be sent now
 */
export async function takeInHand(
  manager: EntityManager,
  fleetId: string,
  reminderIds: string[],
  now: Date,
  leaseMs: number,
): Promise<ReminderInHand[]> {
  return manager.query<ReminderInHand[]>(
    `/* named take_in_hand */ with waiting as (
       select id from reminders
       where fleet_id = $1 and id = any($2::uuid[]) and status = 'waiting' and digest_id is null and next_attempt_at <= $3
       order by id for no key update),
     r as (
       update reminders u set attempts = attempts + 1, next_attempt_at = $4 from waiting w where u.fleet_id = $1 and u.id = w.id
       returning u.*)
     select ${IN_HAND} from r ${OF_TARGET}`,
    [fleetId, reminderIds, now, new Date(now.getTime() + leaseMs)],
  );
}

/** Keeps the message of a reminder's first attempt. @returns the message kept, which another may have been first to make */
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

/** Ends a reminder without an attempt. @returns false when it has ended already */
export async function endUnsent(
  manager: EntityManager,
  fleetId: string,
  reminderId: string,
  status: Exclude<ReminderStatus, 'waiting' | 'sent'>,
): Promise<boolean> {
  const [, count] = await manager.query<[unknown[], number]>(
    `update reminders set status = $3 where fleet_id = $1 and id = $2 and status = 'waiting'`,
    [fleetId, reminderId, status],
  );
  return count > 0;
}

/** Gives a claimed reminder back unattempted, to be taken up later. */
export async function putOff(
  manager: EntityManager,
  fleetId: string,
  reminderId: string,
  until: Date,
): Promise<void> {
  await manager.query(
    `update reminders set next_attempt_at = $3, attempts = attempts - 1
     where fleet_id = $1 and id = $2 and status = 'waiting'`,
    [fleetId, reminderId, until],
  );
}

/** The reminder's standing, locked against other workers until the transaction ends. */
export async function lockedStanding(
  tx: EntityManager,
  fleetId: string,
  reminderId: string,
): Promise<{ status: ReminderStatus; attempts: number }> {
  const [row] = await tx.query<{ status: ReminderStatus; attempts: number }[]>(
    'select status, attempts from reminders where fleet_id = $1 and id = $2 for no key update',
    [fleetId, reminderId],
  );
  if (!row) throw new Error(`the reminder ${reminderId} is gone`);
  return row;
}

/** An attempt that begins: its message, and since when. */
export interface Beginning {
  reminderId: string;
  body: string;
  at: Date;
}

/**
 * Writes down that attempts begin, so that one over which its worker dies stays on record; and keeps their messages, where none is kept yet.
 *
 * @returns of each the attempt's number, and the message where another is kept
 */
export function beginAttempts(
  manager: EntityManager,
  fleetId: string,
  beginnings: readonly Beginning[],
): Promise<{ reminderId: string; number: number; keptBody: string | null }[]> {
  return manager.query(
    `/* named begin_attempts */ with b as (
       select * from unnest($2::uuid[], $3::text[], $4::timestamptz[]) as b(id, body, at)),
     ${LOCKED_IN_ORDER},
     kept as (
       update reminders r set body = coalesce(r.body, b.body) from b join locked using (id) where r.fleet_id = $1 and r.id = b.id
       returning r.id, case when r.body is distinct from b.body then r.body end as body),
     begun as (
       insert into reminder_attempts (fleet_id, reminder_id, number, at, error)
       select $1, b.id, coalesce(n.last, 0) + 1, b.at, $5
       from b cross join lateral (select max(a.number) as last from reminder_attempts a where a.fleet_id = $1 and a.reminder_id = b.id) n
       returning reminder_id, number)
     select begun.reminder_id as "reminderId", begun.number, kept.body as "keptBody" from begun join kept on kept.id = begun.reminder_id`,
    [
      fleetId,
      beginnings.map(({ reminderId }) => reminderId),
      beginnings.map(({ body }) => body),
      beginnings.map(({ at }) => at),
      'under way; or cut off, if another attempt follows',
    ],
  );
}

/** An attempt of which the receiver has the message. */
export interface Acceptance {
  reminderId: string;
  number: number;
  result: SendResult;
  sentAt: Date;
}

/** Writes down that receivers have the messages, whatever was decided about the reminders meanwhile. */
export async function endAccepted(
  manager: EntityManager,
  fleetId: string,
  accepted: readonly Acceptance[],
): Promise<void> {
  await manager.query(
    `/* named end_accepted */ with e as (
       select * from unnest($2::uuid[], $3::int[], $4::int[], $5::int[], $6::int[], $7::text[], $8::text[], $9::timestamptz[])
         as e(id, number, http_status, smtp_status, duration_ms, error, answer, sent_at)),
     ${LOCKED_IN_ORDER},
     ended as (
       update reminder_attempts a set http_status = e.http_status, smtp_status = e.smtp_status, duration_ms = e.duration_ms, error = e.error,
         answer = e.answer
       from e where a.fleet_id = $1 and a.reminder_id = e.id and a.number = e.number)
     update reminders r set status = 'sent', sent_at = e.sent_at from e join locked using (id) where r.fleet_id = $1 and r.id = e.id`,
    [
      fleetId,
      accepted.map(({ reminderId }) => reminderId),
      accepted.map(({ number }) => number),
      accepted.map(({ result }) => result.httpStatus),
      accepted.map(({ result }) => result.smtpStatus),
      accepted.map(({ result }) => result.durationMs),
      accepted.map(({ result }) => result.error),
      accepted.map(({ result }) => result.answer),
      accepted.map(({ sentAt }) => sentAt),
    ],
  );
}

export async function endAttempt(
  tx: EntityManager,
  fleetId: string,
  reminderId: string,
  number: number,
  { httpStatus, smtpStatus, durationMs, error, answer }: SendResult,
): Promise<void> {
  await tx.query(
    `update reminder_attempts set http_status = $4, smtp_status = $5, duration_ms = $6, error = $7, answer = $8
     where fleet_id = $1 and reminder_id = $2 and number = $3`,
    [fleetId, reminderId, number, httpStatus, smtpStatus, durationMs, error, answer],
  );
}
