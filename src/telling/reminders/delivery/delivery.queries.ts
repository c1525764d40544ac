import type { EntityManager } from 'typeorm';
import { isWorkerGone } from '../../workers/worker-gone.sql.js';
import type { ReminderStatus } from '../../../entities/reminder.entity.js';
import type { Message } from '../../../domain/message.js';
import { message } from '../senders/attempt-messages.js';
import type { SendResult } from '../senders/send-result.js';
import { runStatement } from '../../../platform/database/statement.js';
import type { ReminderInHand } from '../messages/reminder-in-hand.queries.js';

/**
 * Locks the reminders in the order of their ids, so two transactions that share some of them cannot
 * deadlock. `$2` are the ids.
 */
const LOCKED_IN_ORDER = `locked as materialized (
       select id from reminders where fleet_id = $1 and id = any($2::uuid[]) order by id for no key update)`;

/**
 * Ends a reminder without an attempt. @returns false when it has already ended, or another attempt
 * has begun
 */
export async function endUnsent(
  manager: EntityManager,
  fleetId: string,
  { reminderId, attempt }: ReminderInHand,
  status: Exclude<ReminderStatus, 'waiting' | 'sent'>,
): Promise<boolean> {
  const [, count] = await manager.query<[unknown[], number]>(
    `update reminders set status = $3 where fleet_id = $1 and id = $2 and status = 'waiting' and attempts = $4`,
    [fleetId, reminderId, status, attempt - 1],
  );
  return count > 0;
}

/** Postpones a reminder, unless another attempt at it has begun. */
export async function putOff(
  manager: EntityManager,
  fleetId: string,
  { reminderId, attempt }: ReminderInHand,
  until: Date,
): Promise<void> {
  await manager.query(
    `update reminders set next_attempt_at = $3, attempted_by = null where fleet_id = $1 and id = $2 and status = 'waiting' and attempts = $4`,
    [fleetId, reminderId, until, attempt - 1],
  );
}

/**
 * Returns the reminder's state and locks the row against other workers until the transaction ends.
 */
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

const jsonOf = (said: Message | null): string | null => (said === null ? null : JSON.stringify(said));

/** An attempt to begin: its number for this reminder, its message and its time. */
export interface Beginning {
  reminderId: string;
  attempt: number;
  body: string;
  at: Date;
}

/**
 * Begins attempts at those reminders that are still waiting for exactly that attempt.
 *
 * Moves each reminder's time forward as a lease, so nobody else begins one; the lease ends early
 * when the worker is gone. Records the attempt, so it stays on record if the worker dies. Stores
 * the message, unless one is stored already.
 *
 * @returns for each attempt that has begun: its number, and the stored message if that is a
 * different one
 */
export function beginAttempts(
  manager: EntityManager,
  fleetId: string,
  beginnings: readonly Beginning[],
  leaseMs: number,
  workerId: string,
): Promise<{ reminderId: string; number: number; keptBody: string | null }[]> {
  return runStatement(manager, {
    name: 'begin_attempts',
    text: `with b as (
       select * from unnest($2::uuid[], $3::int[], $4::text[], $5::timestamptz[], $6::timestamptz[]) as b(id, attempt, body, at, until)),
     ${LOCKED_IN_ORDER},
     begun as (
       update reminders r set attempts = b.attempt, attempted_by = $8::uuid, next_attempt_at = b.until, body = coalesce(r.body, b.body) from b join locked using (id)
       where r.fleet_id = $1 and r.id = b.id and r.attempts = b.attempt - 1 and r.status = 'waiting' and r.digest_id is null
         and (r.next_attempt_at <= b.at or ${isWorkerGone('r.attempted_by', '$8::uuid')})
       returning r.id, b.at, case when r.body is distinct from b.body then r.body end as kept_body),
     written as (
       insert into reminder_attempts (fleet_id, reminder_id, number, at, error)
       select $1, begun.id, coalesce(n.last, 0) + 1, begun.at, $7::jsonb
       from begun cross join lateral (
         select max(a.number) as last from reminder_attempts a where a.fleet_id = $1 and a.reminder_id = begun.id) n
       returning reminder_id, number)
     select w.reminder_id as "reminderId", w.number, begun.kept_body as "keptBody" from written w join begun on begun.id = w.reminder_id`,
    values: [
      fleetId,
      beginnings.map(({ reminderId }) => reminderId),
      beginnings.map(({ attempt }) => attempt),
      beginnings.map(({ body }) => body),
      beginnings.map(({ at }) => at),
      beginnings.map(({ at }) => new Date(at.getTime() + leaseMs)),
      JSON.stringify(message('attempt-under-way')),
      workerId,
    ],
  });
}

/** An attempt whose message the receiver has accepted. */
export interface Acceptance {
  reminderId: string;
  number: number;
  result: SendResult;
  sentAt: Date;
}

/**
 * Records that receivers have accepted the messages, whatever was decided about the reminders
 * meanwhile.
 */
export async function endAccepted(
  manager: EntityManager,
  fleetId: string,
  accepted: readonly Acceptance[],
): Promise<void> {
  await runStatement(manager, {
    name: 'end_accepted',
    text: `with e as (
       select * from unnest($2::uuid[], $3::int[], $4::int[], $5::int[], $6::int[], $7::jsonb[], $8::text[], $9::timestamptz[])
         as e(id, number, http_status, smtp_status, duration_ms, error, answer, sent_at)),
     ${LOCKED_IN_ORDER},
     ended as (
       update reminder_attempts a set http_status = e.http_status, smtp_status = e.smtp_status, duration_ms = e.duration_ms, error = e.error,
         answer = e.answer
       from e where a.fleet_id = $1 and a.reminder_id = e.id and a.number = e.number)
     update reminders r set status = 'sent', sent_at = e.sent_at from e join locked using (id) where r.fleet_id = $1 and r.id = e.id`,
    values: [
      fleetId,
      accepted.map(({ reminderId }) => reminderId),
      accepted.map(({ number }) => number),
      accepted.map(({ result }) => result.httpStatus),
      accepted.map(({ result }) => result.smtpStatus),
      accepted.map(({ result }) => result.durationMs),
      accepted.map(({ result }) => jsonOf(result.error)),
      accepted.map(({ result }) => result.answer),
      accepted.map(({ sentAt }) => sentAt),
    ],
  });
}

export async function endAttempt(
  tx: EntityManager,
  fleetId: string,
  reminderId: string,
  number: number,
  { httpStatus, smtpStatus, durationMs, error, answer }: SendResult,
): Promise<void> {
  await tx.query(
    `update reminder_attempts set http_status = $4, smtp_status = $5, duration_ms = $6, error = $7::jsonb, answer = $8
     where fleet_id = $1 and reminder_id = $2 and number = $3`,
    [fleetId, reminderId, number, httpStatus, smtpStatus, durationMs, jsonOf(error), answer],
  );
}

/** Locks the target: until the transaction ends, nobody else changes it. */
export async function lockTarget(tx: EntityManager, fleetId: string, targetId: string): Promise<void> {
  await tx.query('select from reminder_targets where fleet_id = $1 and id = $2 for no key update', [
    fleetId,
    targetId,
  ]);
}
