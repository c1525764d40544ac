import type { Message } from '../../domain/message.js';
import type { EntityManager } from 'typeorm';
import type { LineLabour } from '../../domain/visits/labour-hours.js';
import type { CostSplit } from '../../domain/visits/types.js';
import { isStillToDo, visitStands } from '../../conclusions/due-list/visit-stands.sql.js';

/** The vehicles that have visits in a plan. */
export async function vehiclesOfPlan(
  manager: EntityManager,
  fleetId: string,
  visitPlanId: string,
): Promise<string[]> {
  const rows = await manager.query<{ id: string }[]>(
    'select distinct vehicle_id as id from planned_visits where fleet_id = $1 and visit_plan_id = $2 and not is_dropped order by 1',
    [fleetId, visitPlanId],
  );
  return rows.map(({ id }) => id);
}

/** Locks the depots of a plan, so that two plans cannot use the same hours. */
export async function lockDepots(tx: EntityManager, fleetId: string, visitPlanId: string): Promise<void> {
  await tx.query(
    `select id from depots where fleet_id = $1 and id in (select depot_id from planned_visits where fleet_id = $1 and visit_plan_id = $2)
     order by id for no key update`,
    [fleetId, visitPlanId],
  );
}

/** A line of a visit that is to be confirmed, with what has changed since the plan was solved. */
export interface LineToConfirm {
  visitId: string;
  vehicleId: string;
  depotId: string;
  day: string;
  dueLineId: string;
  windowOpensOn: string;
  dueOn: string;
  lateOn: string;
  countsFrom: string | null;
  labour: LineLabour;
  isOpen: boolean;
  isAtDepot: boolean;
  isStillToDo: boolean;
  lastDoneOn: string | null;
  /** The day of another confirmed visit that already includes the line. */
  otherVisitOn: string | null;
}

export function linesToConfirm(
  manager: EntityManager,
  fleetId: string,
  visitPlanId: string,
): Promise<LineToConfirm[]> {
  return manager.query<LineToConfirm[]>(
    `select v.id as "visitId", v.vehicle_id as "vehicleId", v.depot_id as "depotId", v.day, p.due_line_id as "dueLineId",
       p.window_opens_on as "windowOpensOn", p.due_on as "dueOn", p.late_on as "lateOn", p.counts_from as "countsFrom", p.labour,
       l.is_open as "isOpen", l.depot_id is not distinct from v.depot_id as "isAtDepot", coalesce(${isStillToDo('l', 'p.counts_from')}, false) as "isStillToDo",
       l.last_done_on as "lastDoneOn", case when ${visitStands()} then l.visit_on end as "otherVisitOn"
     from planned_visits v
     join planned_lines p on p.fleet_id = v.fleet_id and p.planned_visit_id = v.id
     join due_lines l on l.fleet_id = p.fleet_id and l.id = p.due_line_id
     where v.fleet_id = $1 and v.visit_plan_id = $2 and not v.is_dropped
     order by v.day, v.id, p.due_line_id`,
    [fleetId, visitPlanId],
  );
}

export interface ConfirmedVisit {
  id: string;
  vehicleId: string;
  depotId: string;
  day: string;
  hours: number;
  cost: CostSplit;
}

export interface ConfirmedLine {
  visitId: string;
  dueLineId: string;
  day: string;
  depotId: string;
  hours: number;
}

/** Stores the visits of a plan and writes each one on its due lines. */
export async function insertVisits(
  tx: EntityManager,
  fleetId: string,
  visitPlanId: string,
  confirmedAt: Date,
  visits: ConfirmedVisit[],
  lines: ConfirmedLine[],
): Promise<void> {
  await tx.query(
    `insert into visits (fleet_id, visit_plan_id, confirmed_at, id, vehicle_id, depot_id, day, hours)
     select $1, $2, $3, r.* from jsonb_to_recordset($4::jsonb) as r(id uuid, "vehicleId" uuid, "depotId" uuid, day date, hours float8)`,
    [fleetId, visitPlanId, confirmedAt, JSON.stringify(visits)],
  );
  await tx.query(
    `with told as (
       update due_lines l set visit_id = r."visitId", visit_on = r.day, visit_depot_id = r."depotId", visit_counts_from = l.last_done_on, visit_assignee = null,
         calendar_sequence = l.calendar_sequence + 1, revised_at = now()
       from jsonb_to_recordset($2::jsonb) as r("visitId" uuid, "dueLineId" uuid, day date, "depotId" uuid)
       where l.fleet_id = $1 and l.id = r."dueLineId")
     insert into visit_lines (fleet_id, visit_id, due_line_id, due_on, counts_from, hours)
     select $1, r."visitId", l.id, l.due_on, l.last_done_on, r.hours
     from jsonb_to_recordset($2::jsonb) as r("visitId" uuid, "dueLineId" uuid, hours float8)
     join due_lines l on l.fleet_id = $1 and l.id = r."dueLineId"`,
    [fleetId, JSON.stringify(lines)],
  );
}

/**
 * Removes lines from a plan's visits, with the reasons. Updates the visits they were in, and
 * deletes those that are now empty.
 */
export async function takeOutOfPlan(
  tx: EntityManager,
  fleetId: string,
  visitPlanId: string,
  out: { dueLineId: string; reason: Message }[],
  changed: ConfirmedVisit[],
): Promise<void> {
  if (out.length === 0) return;
  await tx.query(
    `update planned_lines p set planned_visit_id = null, reason = r.reason from jsonb_to_recordset($3::jsonb) as r("dueLineId" uuid, reason jsonb)
     where p.fleet_id = $1 and p.visit_plan_id = $2 and p.due_line_id = r."dueLineId"`,
    [fleetId, visitPlanId, JSON.stringify(out)],
  );
  await tx.query(
    `update planned_visits v set hours = r.hours, cost = r.cost, version = v.version + 1
     from jsonb_to_recordset($3::jsonb) as r(id uuid, hours float8, cost jsonb)
     where v.fleet_id = $1 and v.visit_plan_id = $2 and v.id = r.id`,
    [fleetId, visitPlanId, JSON.stringify(changed)],
  );
  await tx.query(
    `delete from planned_visits v where v.fleet_id = $1 and v.visit_plan_id = $2
       and not exists (select from planned_lines p where p.fleet_id = v.fleet_id and p.planned_visit_id = v.id)`,
    [fleetId, visitPlanId],
  );
}
