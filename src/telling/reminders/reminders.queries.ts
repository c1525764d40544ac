import type { EntityManager } from 'typeorm';
import type { Message } from '../../domain/message.js';
import type { CircuitName } from '../../domain/vehicles/circuits.js';
import type { Keys } from '../../platform/pages/keyset.js';
import type { ReminderNews, ReminderStatus, Stage } from '../../entities/reminder.entity.js';

export interface ReminderRow {
  id: string;
  targetId: string;
  news: ReminderNews;
  dueLineId: string | null;
  subjectId: string | null;
  digestId: string | null;
  vehicleId: string | null;
  unitNumber: string | null;
  depotId: string | null;
  component: string | null;
  item: string | null;
  /** Null where the vehicle has only one. */
  circuit: CircuitName | null;
  action: string | null;
  stage: Stage | null;
  status: ReminderStatus;
  attempts: number;
  nextAttemptAt: Date;
  sentAt: Date | null;
  createdAt: Date;
}

export interface ReminderFilters {
  id?: string;
  targetId?: string;
  status?: ReminderStatus;
  dueLineId?: string;
  digestId?: string;
}

/** Reminders after the given position (created_at, id), newest first. */
export function reminderRows(
  manager: EntityManager,
  fleetId: string,
  filters: ReminderFilters,
  after: Keys<'createdAt' | 'id'> | null,
  limit: number,
): Promise<ReminderRow[]> {
  const values: unknown[] = [fleetId, limit];
  const conditions = ['r.fleet_id = $1'];
  const equal = (column: string, value: unknown): void => {
    if (value !== undefined) conditions.push(`${column} = $${values.push(value)}`);
  };
  equal('r.id', filters.id);
  equal('r.target_id', filters.targetId);
  equal('r.status', filters.status);
  equal('r.due_line_id', filters.dueLineId);
  equal('r.digest_id', filters.digestId);
  if (after)
    conditions.push(`(r.created_at, r.id) < ($${values.push(after.createdAt)}, $${values.push(after.id)})`);
  return manager.query<ReminderRow[]>(
    `select r.id, r.target_id as "targetId", r.news, r.due_line_id as "dueLineId", r.subject_id as "subjectId",
       r.digest_id as "digestId", r.stage, r.status, r.attempts,
       r.next_attempt_at as "nextAttemptAt", r.sent_at as "sentAt", r.created_at as "createdAt",
       coalesce(l.vehicle_id, v.id) as "vehicleId", coalesce(l.unit_number, v.unit_number) as "unitNumber",
       coalesce(l.depot_id, v.depot_id) as "depotId", l.component, l.item, l.named_circuit as circuit, l.action
     from reminders r
     left join due_lines l on l.fleet_id = r.fleet_id and l.id = r.due_line_id
     left join vehicles v on v.fleet_id = r.fleet_id and v.id = r.vehicle_id
     where ${conditions.join(' and ')}
     order by r.created_at desc, r.id desc limit $2`,
    values,
  );
}

export interface AttemptRow {
  number: number;
  at: Date;
  httpStatus: number | null;
  smtpStatus: number | null;
  durationMs: number | null;
  error: Message | null;
  answer: string | null;
}

export function attemptRows(
  manager: EntityManager,
  fleetId: string,
  reminderId: string,
  afterNumber: number,
  limit: number,
): Promise<AttemptRow[]> {
  return manager.query<AttemptRow[]>(
    `select number, at, http_status as "httpStatus", smtp_status as "smtpStatus", duration_ms as "durationMs", error, answer
     from reminder_attempts where fleet_id = $1 and reminder_id = $2 and number > $3 order by number limit $4`,
    [fleetId, reminderId, afterNumber, limit],
  );
}
