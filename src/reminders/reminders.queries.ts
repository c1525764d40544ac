import type { EntityManager } from 'typeorm';
import type { ReminderStatus, Stage } from './reminder.entity.js';

export interface ReminderRow {
  id: string;
  targetId: string;
  dueLineId: string;
  vehicleId: string;
  unitNumber: string;
  depotId: string | null;
  component: string;
  item: string | null;
  action: string;
  stage: Stage;
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
}

/** Reminders, the newest first, from after `after` (created_at, id) on. */
export function reminderRows(
  manager: EntityManager,
  fleetId: string,
  filters: ReminderFilters,
  after: string[] | null,
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
  if (after) conditions.push(`(r.created_at, r.id) < ($${values.push(after[0])}, $${values.push(after[1])})`);
  return manager.query<ReminderRow[]>(
    `select r.id, r.target_id as "targetId", r.due_line_id as "dueLineId", r.stage, r.status, r.attempts,
       r.next_attempt_at as "nextAttemptAt", r.sent_at as "sentAt", r.created_at as "createdAt",
       l.vehicle_id as "vehicleId", l.unit_number as "unitNumber", l.depot_id as "depotId", l.component, l.item, l.action
     from reminders r join due_lines l on l.fleet_id = r.fleet_id and l.id = r.due_line_id
     where ${conditions.join(' and ')}
     order by r.created_at desc, r.id desc limit $2`,
    values,
  );
}

export interface AttemptRow {
  number: number;
  at: Date;
  httpStatus: number | null;
  durationMs: number;
  error: string | null;
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
    `select number, at, http_status as "httpStatus", duration_ms as "durationMs", error, answer
     from reminder_attempts where fleet_id = $1 and reminder_id = $2 and number > $3 order by number limit $4`,
    [fleetId, reminderId, afterNumber, limit],
  );
}
