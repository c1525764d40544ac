import type { Language } from '../../../platform/words/languages.js';
import { runStatement } from '../../../platform/database/statement.js';
import type { EntityManager } from 'typeorm';
import { isWorkerGone } from '../../workers/worker-gone.sql.js';
import { isUrgent } from '../news/urgent.js';
import type { ReminderNews, Stage } from '../../../entities/reminder.entity.js';
import type { Destination } from '../senders/message-sender.js';

/** A reminder with its target, in their current state. */
export interface ReminderInHand extends Destination {
  reminderId: string;
  /** Number of the next attempt since it was queued or resent. */
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
  /** The target's own; null for the fleet's. */
  language: Language | null;
  isTargetOff: boolean;
  /** Set when the target hears only of work that is assigned to this person. */
  personId: string | null;
  sendFrom: string | null;
  sendTo: string | null;
  /** True when the reminder is urgent and its target accepts urgent ones at any hour. */
  atAnyHour: boolean;
  /** True when the last reminders to its target did not get through. */
  isFailing: boolean;
}

/** Columns of a reminder `r` and its target `t`. */
const IN_HAND = `r.id as "reminderId", r.attempts + 1 as attempt, r.target_id as "targetId", r.news, r.due_line_id as "dueLineId",
       r.subject_id as "subjectId", r.stage, r.cycle, r.digest_id as "digestId", r.body, r.created_at as "createdAt",
       t.language, t.kind, t.address, t.secret, t.previous_secret as "previousSecret", t.previous_secret_until as "previousSecretUntil",
       (t.disabled_at is not null or t.removed_at is not null) as "isTargetOff", t.send_from as "sendFrom", t.send_to as "sendTo",
       (t.urgent = 'at-any-hour' and ${isUrgent('r')}) as "atAnyHour",
       t.person_id as "personId", t.failing_since is not null as "isFailing"`;
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
 * Returns the reminders that are waiting to be sent now. No worker owns them yet: that is decided
 * when an attempt begins.
 */
export async function waitingNow(
  manager: EntityManager,
  fleetId: string,
  reminderIds: string[],
  now: Date,
  workerId: string,
): Promise<ReminderInHand[]> {
  return runStatement<ReminderInHand[]>(manager, {
    name: 'waiting_now',
    text: `select ${IN_HAND} from reminders r ${OF_TARGET}
     where r.fleet_id = $1 and r.id = any($2::uuid[]) and r.status = 'waiting' and r.digest_id is null
       and (r.next_attempt_at <= $3 or ${isWorkerGone('r.attempted_by', '$4::uuid')})`,
    values: [fleetId, reminderIds, now, workerId],
  });
}
