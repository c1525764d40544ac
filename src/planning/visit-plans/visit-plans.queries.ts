import type { CircuitName } from '../../domain/vehicles/circuits.js';
import type { Message } from '../../domain/message.js';
import type { EntityManager } from 'typeorm';
import type { Action, Component } from '../../domain/intervals/types.js';
import type { LabourRules, LineLabour } from '../../domain/visits/labour-hours.js';
import type { CostSplit } from '../../domain/visits/types.js';
import { visitStands } from '../../conclusions/due-list/visit-stands.sql.js';

/** A due line with what a plan needs to know about it. */
export interface LineRow {
  id: string;
  vehicleId: string;
  depotId: string | null;
  component: Component;
  action: Action;
  windowOpensOn: string;
  dueOn: string;
  lateOn: string;
  /**
   * From its due day on, it takes precedence over all other work. If postponed, that is the new
   * day.
   */
  isAtOnce: boolean;
  countsFrom: string | null;
  /** From the vehicle's spec sheet, for the line's own circuit. */
  labour: LabourRules | null;
}

/**
 * The open lines that are due by a day, late ones included. Leaves out lines with a confirmed
 * visit.
 */
export function linesToPlan(
  manager: EntityManager,
  fleetId: string,
  { toOn, depotIds }: { toOn: string; depotIds: string[] | null },
  limit: number,
): Promise<LineRow[]> {
  return manager.query<LineRow[]>(
    `select l.id, l.vehicle_id as "vehicleId", l.depot_id as "depotId", l.component, l.action, l.window_opens_on as "windowOpensOn",
       l.due_on as "dueOn", l.late_on as "lateOn", l.is_at_once as "isAtOnce", l.last_done_on as "countsFrom",
       case when nullif(l.circuit, s.circuit) is null then s.labour
         else (select o -> 'labour' from jsonb_array_elements(s.other_circuits) o where o ->> 'circuit' = l.circuit) end as labour
     from due_lines l join vehicles v on v.fleet_id = l.fleet_id and v.id = l.vehicle_id
     left join spec_sheets s on s.fleet_id = v.fleet_id and s.id = v.spec_sheet_id
     where l.fleet_id = $1 and l.is_open and not l.no_baseline and l.due_on <= $2::date
       and ($3::uuid[] is null or l.depot_id = any($3::uuid[])) and not coalesce(${visitStands()}, false)
     order by l.is_at_once desc, l.due_on, l.id limit $4`,
    [fleetId, toOn, depotIds, limit],
  );
}

/** Hours of labour that confirmed visits take, by depot and day. */
export function hoursTaken(
  manager: EntityManager,
  fleetId: string,
  depotIds: string[],
  { from, to }: { from: string; to: string },
): Promise<{ depotId: string; day: string; hours: number }[]> {
  return manager.query(
    `select v.depot_id as "depotId", v.day, sum(v.hours) as hours from visits v
     where v.fleet_id = $1 and v.cancelled_at is null and v.day between $2::date and $3::date and v.depot_id = any($4::uuid[])
       and exists (select from due_lines l where l.fleet_id = $1 and l.visit_on = v.day and l.visit_id = v.id and ${visitStands()})
     group by 1, 2`,
    [fleetId, from, to, depotIds],
  );
}

/** A visit in the form in which a plan stores it. */
export interface ProposedVisit {
  id: string;
  vehicleId: string;
  depotId: string;
  day: string;
  hours: number;
  cost: CostSplit;
  isPinned: boolean;
  isDropped: boolean;
  version: number;
}

/** A line in the form in which a plan stores it. */
export interface ProposedLine {
  dueLineId: string;
  vehicleId: string;
  plannedVisitId: string | null;
  reason: Message | null;
  cost: CostSplit | null;
  windowOpensOn: string;
  dueOn: string;
  lateOn: string;
  countsFrom: string | null;
  labour: LineLabour;
}

/** Replaces the visits and lines of a plan. */
export async function replaceProposal(
  tx: EntityManager,
  fleetId: string,
  visitPlanId: string,
  visits: ProposedVisit[],
  lines: ProposedLine[],
): Promise<void> {
  await tx.query('delete from planned_lines where fleet_id = $1 and visit_plan_id = $2', [
    fleetId,
    visitPlanId,
  ]);
  await tx.query('delete from planned_visits where fleet_id = $1 and visit_plan_id = $2', [
    fleetId,
    visitPlanId,
  ]);
  await tx.query(
    `insert into planned_visits (fleet_id, visit_plan_id, id, vehicle_id, depot_id, day, hours, cost, is_pinned, is_dropped, version)
     select $1, $2, r.* from jsonb_to_recordset($3::jsonb) as r(id uuid, "vehicleId" uuid, "depotId" uuid, day date, hours float8, cost jsonb,
       "isPinned" boolean, "isDropped" boolean, version int)`,
    [fleetId, visitPlanId, JSON.stringify(visits)],
  );
  await tx.query(
    `insert into planned_lines (fleet_id, visit_plan_id, due_line_id, vehicle_id, planned_visit_id, reason, cost, window_opens_on, due_on, late_on,
       counts_from, labour)
     select $1, $2, r.* from jsonb_to_recordset($3::jsonb) as r("dueLineId" uuid, "vehicleId" uuid, "plannedVisitId" uuid, reason jsonb, cost jsonb,
       "windowOpensOn" date, "dueOn" date, "lateOn" date, "countsFrom" date, labour jsonb)`,
    [fleetId, visitPlanId, JSON.stringify(lines)],
  );
}

export interface PlannedVisitRow extends ProposedVisit {
  unitNumber: string;
}

/** The visits of a plan, or one of them, ordered by day and unit number. */
export function plannedVisitRows(
  manager: EntityManager,
  fleetId: string,
  visitPlanId: string,
  id: string | null = null,
): Promise<PlannedVisitRow[]> {
  return manager.query<PlannedVisitRow[]>(
    `select p.id, p.vehicle_id as "vehicleId", v.unit_number as "unitNumber", p.depot_id as "depotId", p.day, p.hours, p.cost,
       p.is_pinned as "isPinned", p.is_dropped as "isDropped", p.version
     from planned_visits p join vehicles v on v.fleet_id = p.fleet_id and v.id = p.vehicle_id
     where p.fleet_id = $1 and p.visit_plan_id = $2 and ($3::uuid is null or p.id = $3)
     order by p.day, v.unit_number, p.id`,
    [fleetId, visitPlanId, id],
  );
}

export interface PlannedLineRow extends ProposedLine {
  unitNumber: string;
  component: Component;
  action: Action;
  item: string | null;
  /** Null where the vehicle has only one. */
  circuit: CircuitName | null;
  isAtOnce: boolean;
  /** Its interval is ready-made, and nobody has confirmed or replaced it. */
  isStarter: boolean;
}

/**
 * The lines of a plan, or of one of its visits. Lines that are due at once come first, the others
 * in order of their due day.
 */
export function plannedLineRows(
  manager: EntityManager,
  fleetId: string,
  visitPlanId: string,
  plannedVisitId: string | null = null,
): Promise<PlannedLineRow[]> {
  return manager.query<PlannedLineRow[]>(
    `select p.due_line_id as "dueLineId", p.vehicle_id as "vehicleId", p.planned_visit_id as "plannedVisitId", p.reason, p.cost,
       p.window_opens_on as "windowOpensOn", p.due_on as "dueOn", p.late_on as "lateOn", p.counts_from as "countsFrom", p.labour,
       l.unit_number as "unitNumber", l.component, l.action, l.item, l.named_circuit as circuit, l.is_at_once as "isAtOnce", l.is_starter as "isStarter"
     from planned_lines p join due_lines l on l.fleet_id = p.fleet_id and l.id = p.due_line_id
     where p.fleet_id = $1 and p.visit_plan_id = $2 and ($3::uuid is null or p.planned_visit_id = $3)
     order by l.is_at_once desc, p.due_on, p.due_line_id`,
    [fleetId, visitPlanId, plannedVisitId],
  );
}

/**
 * Hours that the plan's visits take at a depot on a day. Leaves out one given visit and the dropped
 * ones.
 */
export async function hoursPlanned(
  manager: EntityManager,
  fleetId: string,
  visitPlanId: string,
  { id, depotId, day }: { id: string; depotId: string; day: string },
): Promise<number> {
  const [row] = await manager.query<{ hours: number }[]>(
    `select coalesce(sum(hours), 0) as hours from planned_visits
     where fleet_id = $1 and visit_plan_id = $2 and day = $3 and depot_id = $4 and id <> $5 and not is_dropped`,
    [fleetId, visitPlanId, day, depotId, id],
  );
  return row?.hours ?? 0;
}

/** Deletes plans that were requested before an instant and never confirmed. */
export async function removeOldPlans(manager: EntityManager, fleetId: string, before: Date): Promise<void> {
  await manager.query(
    `delete from visit_plans where fleet_id = $1 and requested_at < $2 and state in ('solved', 'failed')`,
    [fleetId, before],
  );
}
