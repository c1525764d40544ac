import { circuitIn } from '../../platform/database/named-circuit.sql.js';
import type { EntityManager } from 'typeorm';
import { isStillToDo, visitStands } from '../../conclusions/due-list/visit-stands.sql.js';
import type { VisitLineView, VisitState } from './visit.dto.js';

export interface VisitFilters {
  state: VisitState;
  depotId?: string;
  vehicleId?: string;
  assignedTo?: string;
  from?: string;
  to?: string;
}

export interface VisitKey {
  id: string;
  day: string;
}

const STANDING_LINE = `exists (select from due_lines l where l.fleet_id = v.fleet_id and l.visit_on = v.day and l.visit_id = v.id and ${visitStands()})`;

/**
 * Whether a line that has left the visit was done. A follow-up closes when the work is done, but
 * also when its vehicle is disposed of; that does not count as done.
 */
const WAS_DONE = `(case when l.origin = 'interval' then not coalesce(${isStillToDo('l', 'x.counts_from')}, false) else not l.is_open and u.status <> 'disposed' end)`;

const DONE_LINE = `exists (select from visit_lines x join due_lines l on l.fleet_id = x.fleet_id and l.id = x.due_line_id
  join vehicles u on u.fleet_id = l.fleet_id and u.id = l.vehicle_id where x.fleet_id = v.fleet_id and x.visit_id = v.id and ${WAS_DONE})`;

/** The condition for each state, on `visits v`. Planned visits are found through their lines. */
const IN_STATE: Record<Exclude<VisitState, 'planned'>, string> = {
  cancelled: 'v.cancelled_at is not null',
  done: `v.cancelled_at is null and not ${STANDING_LINE} and ${DONE_LINE}`,
  lapsed: `v.cancelled_at is null and not ${STANDING_LINE} and not ${DONE_LINE}`,
};

/**
 * The visits of a page, ordered by day and id. Planned visits are read from the index of their
 * lines, so earlier visits do not slow the query.
 */
export function visitKeys(
  manager: EntityManager,
  fleetId: string,
  { state, depotId, vehicleId, assignedTo, from, to }: VisitFilters,
  after: VisitKey | null,
  limit: number,
): Promise<VisitKey[]> {
  const isPlanned = state === 'planned';
  const [day, id, depot, vehicle, assignee] = isPlanned
    ? ['l.visit_on', 'l.visit_id', 'l.depot_id', 'l.vehicle_id', 'l.visit_assignee']
    : ['v.day', 'v.id', 'v.depot_id', 'v.vehicle_id', 'v.assigned_to'];
  const values: unknown[] = [fleetId];
  const conditions = [
    isPlanned ? `l.fleet_id = $1 and ${visitStands()}` : `v.fleet_id = $1 and ${IN_STATE[state]}`,
  ];
  const add = (condition: (parameter: string) => string, value: unknown): void => {
    if (value !== undefined) conditions.push(condition(`$${values.push(value)}`));
  };
  add((p) => `${depot} = ${p}::uuid`, depotId);
  add((p) => `${vehicle} = ${p}::uuid`, vehicleId);
  add((p) => `${assignee} = ${p}::uuid`, assignedTo);
  add((p) => `${day} >= ${p}::date`, from);
  add((p) => `${day} <= ${p}::date`, to);
  if (after)
    conditions.push(`(${day}, ${id}) > ($${values.push(after.day)}::date, $${values.push(after.id)}::uuid)`);
  return manager.query<VisitKey[]>(
    `select ${day} as day, ${id} as id from ${isPlanned ? 'due_lines l' : 'visits v'} where ${conditions.join(' and ')}
     ${isPlanned ? 'group by 1, 2' : ''} order by 1, 2 limit ${limit}`,
    values,
  );
}

export interface VisitRow {
  id: string;
  visitPlanId: string | null;
  vehicleId: string;
  unitNumber: string;
  depotId: string;
  day: string;
  hours: number;
  assignedTo: { id: string; name: string } | null;
  confirmedAt: Date;
  cancelledAt: Date | null;
  cancelReason: string | null;
  version: number;
  lines: VisitLineView[];
}

/** Visits with their lines and the state of each line. */
export function visitRows(manager: EntityManager, fleetId: string, ids: string[]): Promise<VisitRow[]> {
  return manager.query<VisitRow[]>(
    `select v.id, v.visit_plan_id as "visitPlanId", v.vehicle_id as "vehicleId", u.unit_number as "unitNumber", v.depot_id as "depotId", v.day, v.hours,
       (select jsonb_build_object('id', p.id, 'name', p.name) from people p where p.fleet_id = v.fleet_id and p.id = v.assigned_to) as "assignedTo",
       v.confirmed_at as "confirmedAt", v.cancelled_at as "cancelledAt", v.cancel_reason as "cancelReason", v.version, x.lines
     from visits v join vehicles u on u.fleet_id = v.fleet_id and u.id = v.vehicle_id
     cross join lateral (
       select jsonb_agg(jsonb_build_object('dueLineId', s.id, 'component', s.component, 'action', s.action, 'item', s.item, 'dueOn', s.due_on,
         'atOnce', s.is_at_once, 'state', s.state, 'doneOn', case when s.state = 'done' then coalesce(c.performed_on, s.done_on) end,
         'jobReportId', case when s.state = 'done' then c.job_report_id end) || ${circuitIn('s.named_circuit')} order by s.is_at_once desc, s.component, s.action, s.item, s.named_circuit, s.id) as lines
       from (
         select l.id, l.component, l.action, l.item, l.named_circuit, l.is_at_once, x.due_on, x.counts_from,
           case when l.origin = 'interval' then l.last_done_on end as done_on,
           case when v.cancelled_at is null and l.visit_id = v.id and ${visitStands()} then 'open' when ${WAS_DONE} then 'done' else 'released' end as state
         from visit_lines x join due_lines l on l.fleet_id = x.fleet_id and l.id = x.due_line_id
         where x.fleet_id = v.fleet_id and x.visit_id = v.id) s
       left join lateral (
         select c.performed_on, c.job_report_id from completions c
         where c.fleet_id = v.fleet_id and c.due_line_id = s.id and not c.voided and (s.counts_from is null or c.performed_on > s.counts_from)
         order by c.performed_on, c.job_report_id limit 1) c on true) x
     where v.fleet_id = $1 and v.id = any($2::uuid[]) order by v.day, v.id`,
    [fleetId, ids],
  );
}

/** Releases the lines that were confirmed for a visit. */
export async function releaseLines(tx: EntityManager, fleetId: string, visitId: string): Promise<void> {
  await tx.query(
    `update due_lines l set visit_id = null, visit_on = null, visit_depot_id = null, visit_counts_from = null, visit_assignee = null,
       calendar_sequence = l.calendar_sequence + 1, revised_at = now()
     from visit_lines x where x.fleet_id = $1 and x.visit_id = $2 and l.fleet_id = $1 and l.id = x.due_line_id and l.visit_id = $2`,
    [fleetId, visitId],
  );
}
