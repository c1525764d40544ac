import type { EntityManager } from 'typeorm';
import { fleetScope } from '../../platform/scope/fleet-scope.js';

/**
 * The open lines that are due on or before a day, of every vehicle that follows or once followed a
 * plan.
 */
export async function dueLineIdsUnder(tx: EntityManager, planId: string, day: string): Promise<Set<string>> {
  const rows = await tx.query<{ id: string }[]>(
    `select d.id from due_lines d
     where d.fleet_id = $1 and d.is_open and d.due_on <= $3
       and d.vehicle_id in (
         select id from vehicles where fleet_id = $1 and interval_plan_id = $2
         union
         select vehicle_id from vehicle_assignments where fleet_id = $1 and interval_plan_id = $2)`,
    [fleetScope().fleetId, planId, day],
  );
  return new Set(rows.map(({ id }) => id));
}
