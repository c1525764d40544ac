import type { EntityManager } from 'typeorm';
import { visitStands } from '../../conclusions/due-list/visit-stands.sql.js';

/** Assigns a visit, and the lines that were confirmed for it. */
export async function assignVisit(
  tx: EntityManager,
  fleetId: string,
  visitId: string,
  assignedTo: string | null,
): Promise<void> {
  await tx.query(
    `with lines as (
       update due_lines l set visit_assignee = $3::uuid from visit_lines x
       where x.fleet_id = $1 and x.visit_id = $2 and l.fleet_id = $1 and l.id = x.due_line_id and l.visit_id = $2)
     update visits set assigned_to = $3::uuid, version = version + 1 where fleet_id = $1 and id = $2`,
    [fleetId, visitId, assignedTo],
  );
}

/**
 * Takes the open visits that a person can no longer do off that person. Visits that are done stay
 * as they are.
 *
 * @param depotIds where the person still works; null means everywhere
 */
export async function unassignVisits(
  tx: EntityManager,
  fleetId: string,
  personId: string,
  depotIds: readonly string[] | null,
): Promise<void> {
  await tx.query(
    `with lines as (
       update due_lines l set visit_assignee = null
       where l.fleet_id = $1 and l.visit_assignee = $2 and ${visitStands()} and ($3::uuid[] is null or l.visit_depot_id <> all($3::uuid[]))
       returning l.visit_id)
     update visits v set assigned_to = null, version = v.version + 1
     where v.fleet_id = $1 and v.id in (select visit_id from lines)`,
    [fleetId, personId, depotIds],
  );
}
