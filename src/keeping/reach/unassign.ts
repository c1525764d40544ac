import { IsNull, type EntityManager } from 'typeorm';
import type { Person } from '../../entities/person.entity.js';
import { ReminderTarget } from '../../entities/reminder.entity.js';
import { unassignVisits } from '../../planning/visits/assigning.queries.js';
import { message } from './messages.js';

/** The roles of people to whom visits can be assigned. */
const DOES_VISITS: readonly string[] = ['manager', 'mechanic'];

/**
 * Takes open visits off a person who has left, or got another role or other depots. Whoever leaves
 * gets no more reminders of assigned work.
 */
export async function unassign(
  tx: EntityManager,
  { fleetId, id, role, depotIds, leftAt }: Pick<Person, 'fleetId' | 'id' | 'role' | 'depotIds' | 'leftAt'>,
  now: Date,
): Promise<void> {
  const doesNone = leftAt !== null || !DOES_VISITS.includes(role);
  if (doesNone || depotIds !== null) await unassignVisits(tx, fleetId, id, doesNone ? [] : depotIds);
  if (leftAt === null) return;
  await tx.update(
    ReminderTarget,
    { fleetId, personId: id, disabledAt: IsNull(), removedAt: IsNull() },
    { disabledAt: now, disabledReason: message('target-of-person-who-left') },
  );
}
