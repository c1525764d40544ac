import type { EntityManager } from 'typeorm';
import type { Message } from '../../../domain/message.js';
import { Person } from '../../../entities/person.entity.js';
import type { ReminderTarget } from '../../../entities/reminder.entity.js';
import { type FieldFault, noSuch } from '../../../platform/problems/problem.js';
import { fleetScope } from '../../../platform/scope/fleet-scope.js';
import { message } from './messages.js';
import type { SendTime } from '../news/untold-lines.queries.js';
import { isUrgent } from '../news/urgent.js';
import type { ReminderTargetInput } from './reminder-target.dto.js';

/** What a target's filters can refer to, and the table it is in. */
const NAMED = [
  { field: 'depotIds', table: 'depots', what: 'depot' },
  { field: 'intervalPlanIds', table: 'interval_plans', what: 'interval plan' },
  { field: 'vehicleIds', table: 'vehicles', what: 'vehicle' },
] as const;

/** Returns the filters that refer to something this fleet does not have. */
export async function unknownFilters(
  tx: EntityManager,
  fleetId: string,
  input: ReminderTargetInput,
): Promise<FieldFault[]> {
  const faults: FieldFault[] = [];
  for (const { field, table, what } of NAMED) {
    const ids = input[field] ?? [];
    if (ids.length === 0) continue;
    const found = await tx.query<{ id: string }[]>(
      `select id from ${table} where fleet_id = $1 and id = any($2::uuid[])`,
      [fleetId, ids],
    );
    const known = new Set(found.map(({ id }) => id));
    for (const [index, id] of ids.entries())
      if (!known.has(id.toLowerCase())) faults.push({ pointer: `/${field}/${index}`, detail: noSuch(what) });
  }
  return faults;
}

/** Returns what is wrong with the person a target is for, if anything. */
export async function personFault(
  tx: EntityManager,
  { personId, enabled }: Pick<ReminderTargetInput, 'personId' | 'enabled'>,
): Promise<Message | null> {
  if (personId == null) return null;
  const person = await tx.findOne(Person, {
    where: { fleetId: fleetScope().fleetId, id: personId.toLowerCase() },
    // Whoever leaves at this moment waits, and then turns the target off.
    lock: { mode: 'pessimistic_read' },
  });
  if (person === null) return noSuch('person');
  return person.leftAt !== null && (enabled ?? true) ? message('target-person-left') : null;
}

/** Withdraws all reminders that are waiting for a target. */
export async function withdrawWaiting(tx: EntityManager, fleetId: string, targetId: string): Promise<void> {
  await tx.query(
    `update reminders set status = 'withdrawn' where fleet_id = $1 and target_id = $2 and status = 'waiting'`,
    [fleetId, targetId],
  );
}

/**
 * Recalculates when a target's unattempted reminders are sent, since its sending hours may have
 * changed.
 */
export async function retimeWaiting(
  tx: EntityManager,
  fleetId: string,
  { targetId, sendAt, urgentAt }: SendTime,
): Promise<void> {
  await tx.query(
    `update reminders r set next_attempt_at = case when ${isUrgent('r')} then $4::timestamptz else $3::timestamptz end
     where fleet_id = $1 and target_id = $2 and status = 'waiting' and digest_id is null and attempts = 0`,
    [fleetId, targetId, sendAt, urgentAt],
  );
}

/** Records that a test got through, unless the address has changed since it was sent. */
export async function markTested(
  manager: EntityManager,
  { fleetId, id, address }: Pick<ReminderTarget, 'fleetId' | 'id' | 'address'>,
  now: Date,
): Promise<void> {
  await manager.query(
    'update reminder_targets set tested_at = $4 where fleet_id = $1 and id = $2 and address = $3',
    [fleetId, id, address, now],
  );
}
