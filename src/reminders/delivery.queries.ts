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
 * Takes a reminder for one attempt: moves its time on, so that nobody else takes it meanwhile, and a worker that dies gives it up
 * by itself.
 *
 * @returns null when it does not wait to be sent now
 */
export async function takeInHand(
  manager: EntityManager,
  fleetId: string,
  reminderId: string,
  now: Date,
  leaseMs: number,
): Promise<ReminderInHand | null> {
  const [row] = await manager.query<ReminderInHand[]>(
    `with r as (
       update reminders set attempts = attempts + 1, next_attempt_at = $4
       where fleet_id = $1 and id = $2 and status = 'waiting' and digest_id is null and next_attempt_at <= $3
       returning *)
     select ${IN_HAND} from r ${OF_TARGET}`,
    [fleetId, reminderId, now, new Date(now.getTime() + leaseMs)],
  );
  return row ?? null;
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

/**
 * Writes down that an attempt begins, so that one over which its worker dies stays on record; and keeps the message, where none is kept yet.
 *
 * @returns the attempt's number, and the message that is kept
 */
export async function beginAttempt(
  manager: EntityManager,
  fleetId: string,
  reminderId: string,
  body: string,
  at: Date,
): Promise<{ number: number; body: string }> {
  const [begun] = await manager.query<{ number: number; body: string }[]>(
    `with kept as (
       update reminders set body = coalesce(body, $5) where fleet_id = $1 and id = $2 returning body),
     begun as (
       insert into reminder_attempts (fleet_id, reminder_id, number, at, error)
       select $1, $2, coalesce(max(number), 0) + 1, $3, $4
       from reminder_attempts where fleet_id = $1 and reminder_id = $2
       returning number)
     select begun.number, kept.body from begun, kept`,
    [fleetId, reminderId, at, 'under way; or cut off, if another attempt follows', body],
  );
  if (!begun) throw new Error(`the attempt at ${reminderId} was not recorded`);
  return begun;
}

/** Writes down that the receiver has it, whatever was decided about the reminder meanwhile; everything in a digest fares as the digest does. */
export async function endAccepted(
  manager: EntityManager,
  fleetId: string,
  { reminderId, news }: Pick<ReminderInHand, 'reminderId' | 'news'>,
  number: number,
  { httpStatus, smtpStatus, durationMs, error, answer }: SendResult,
  sentAt: Date,
): Promise<void> {
  await manager.query(
    `with ended as (
       update reminder_attempts set http_status = $4, smtp_status = $5, duration_ms = $6, error = $7, answer = $8
       where fleet_id = $1 and reminder_id = $2 and number = $3)
     update reminders set status = 'sent', sent_at = $9
     where fleet_id = $1 and (id = $2 ${news === 'digest' ? 'or digest_id = $2' : ''})`,
    [fleetId, reminderId, number, httpStatus, smtpStatus, durationMs, error, answer, sentAt],
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
