import type { EntityManager } from 'typeorm';
import { DUE_LINE_COLUMNS, type DueLineRow, USAGE_JOIN } from '../due-list/due-line-view.js';
import { stateOnDay } from '../due-list/due-state.sql.js';
import type { DueState } from '../domain/intervals/types.js';
import type { ReminderStatus, Stage } from './reminder.entity.js';
import type { SendResult } from './webhook-sender.js';

/**
 * Takes a reminder for one attempt: moves its time on, so that nobody else takes it meanwhile, and a worker that dies gives it up
 * by itself.
 *
 * @returns which attempt this is, or null when it does not wait to be sent now
 */
export async function claim(
  manager: EntityManager,
  fleetId: string,
  reminderId: string,
  now: Date,
  leaseMs: number,
): Promise<number | null> {
  const [rows] = await manager.query<[{ attempts: number }[], number]>(
    `update reminders set attempts = attempts + 1, next_attempt_at = $4
     where fleet_id = $1 and id = $2 and status = 'waiting' and next_attempt_at <= $3
     returning attempts`,
    [fleetId, reminderId, now, new Date(now.getTime() + leaseMs)],
  );
  return rows[0]?.attempts ?? null;
}

/** A reminder with its target and the line it speaks of, as they are now. */
export interface ReminderInHand extends DueLineRow {
  reminderId: string;
  targetId: string;
  stage: Stage;
  cycle: string;
  body: string | null;
  address: string;
  secret: string;
  isTargetOff: boolean;
  sendFrom: string | null;
  sendTo: string | null;
  isOpen: boolean;
  lineCycle: string;
  state: DueState;
}

export async function reminderInHand(
  manager: EntityManager,
  fleetId: string,
  reminderId: string,
  today: string,
): Promise<ReminderInHand | null> {
  const [row] = await manager.query<ReminderInHand[]>(
    `select ${DUE_LINE_COLUMNS}, r.id as "reminderId", r.target_id as "targetId", r.stage, r.cycle, r.body,
       t.address, t.secret, (t.disabled_at is not null or t.removed_at is not null) as "isTargetOff",
       t.send_from as "sendFrom", t.send_to as "sendTo",
       l.is_open as "isOpen", l.cycle as "lineCycle", ${stateOnDay('$3::date')} as state
     from reminders r
     join reminder_targets t on t.fleet_id = r.fleet_id and t.id = r.target_id
     join due_lines l on l.fleet_id = r.fleet_id and l.id = r.due_line_id
     ${USAGE_JOIN}
     where r.fleet_id = $1 and r.id = $2`,
    [fleetId, reminderId, today],
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

/** Ends a reminder without an attempt. */
export async function endUnsent(
  manager: EntityManager,
  fleetId: string,
  reminderId: string,
  status: Exclude<ReminderStatus, 'waiting' | 'sent'>,
): Promise<void> {
  await manager.query(
    `update reminders set status = $3 where fleet_id = $1 and id = $2 and status = 'waiting'`,
    [fleetId, reminderId, status],
  );
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

export async function recordAttempt(
  tx: EntityManager,
  fleetId: string,
  reminderId: string,
  at: Date,
  { httpStatus, durationMs, error, answer }: SendResult,
): Promise<void> {
  await tx.query(
    `insert into reminder_attempts (fleet_id, reminder_id, number, at, http_status, duration_ms, error, answer)
     select $1, $2, coalesce(max(number), 0) + 1, $3, $4, $5, $6, $7
     from reminder_attempts where fleet_id = $1 and reminder_id = $2`,
    [fleetId, reminderId, at, httpStatus, durationMs, error, answer],
  );
}
