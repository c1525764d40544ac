import type { EntityManager } from 'typeorm';
import { isLate } from '../../conclusions/due-list/due-state.sql.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';

/** An open line as it stands on a day. */
export interface LineOnDay {
  id: string;
  dueOn: string;
  isDue: boolean;
  isLate: boolean;
}

/**
 * The open lines of every vehicle that follows or once followed a plan, and whether they are due or
 * late on a day.
 */
export async function linesUnder(
  tx: EntityManager,
  planId: string,
  day: string,
): Promise<Map<string, LineOnDay>> {
  const rows = await tx.query<LineOnDay[]>(
    `select d.id, d.due_on::text as "dueOn", d.due_on <= $3 as "isDue", ${isLate('$3::date', 'd')} as "isLate" from due_lines d
     where d.fleet_id = $1 and d.is_open
       and d.vehicle_id in (
         select id from vehicles where fleet_id = $1 and interval_plan_id = $2
         union
         select vehicle_id from vehicle_assignments where fleet_id = $1 and interval_plan_id = $2)`,
    [fleetScope().fleetId, planId, day],
  );
  return new Map(rows.map((row) => [row.id, row]));
}
