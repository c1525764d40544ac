import type { EntityManager } from 'typeorm';
import { visitStands } from '../../conclusions/due-list/visit-stands.sql.js';
import type { Action, Component } from '../../domain/intervals/types.js';
import type { CircuitName } from '../../domain/vehicles/circuits.js';
import type { LabourRules } from '../../domain/visits/labour-hours.js';

/** A due line as it is about to be booked. */
export interface LineToBook {
  id: string;
  component: Component;
  action: Action;
  item: string | null;
  /** Null where the vehicle has only one. */
  circuit: CircuitName | null;
  windowOpensOn: string;
  dueOn: string;
  isOpen: boolean;
  noBaseline: boolean;
  /** From the vehicle's spec sheet, for the line's own circuit. */
  labour: LabourRules | null;
  /** The visit for which it is planned already. */
  visitId: string | null;
  visitOn: string | null;
  visitAssignee: string | null;
}

/** The due lines of a vehicle: one of them, and those in a visit on a day. */
export function linesToBook(
  tx: EntityManager,
  fleetId: string,
  { vehicleId, id, day }: { vehicleId: string; id: string; day: string },
): Promise<LineToBook[]> {
  const stands = `coalesce(${visitStands()}, false)`;
  return tx.query<LineToBook[]>(
    `select l.id, l.component, l.action, l.item, l.named_circuit as circuit, l.window_opens_on as "windowOpensOn", l.due_on as "dueOn",
       l.is_open as "isOpen", l.no_baseline as "noBaseline",
       case when nullif(l.circuit, s.circuit) is null then s.labour
         else (select o -> 'labour' from jsonb_array_elements(s.other_circuits) o where o ->> 'circuit' = l.circuit) end as labour,
       case when ${stands} then l.visit_id end as "visitId", case when ${stands} then l.visit_on end as "visitOn", l.visit_assignee as "visitAssignee"
     from due_lines l join vehicles v on v.fleet_id = l.fleet_id and v.id = l.vehicle_id
     left join spec_sheets s on s.fleet_id = v.fleet_id and s.id = v.spec_sheet_id
     where l.fleet_id = $1 and l.vehicle_id = $2 and (l.id = $3 or (${stands} and l.visit_on = $4::date))
     order by l.visit_id, l.id`,
    [fleetId, vehicleId, id, day],
  );
}

/** Hours of labour that other visits take at a depot on a day. */
export async function hoursOfOthers(
  tx: EntityManager,
  fleetId: string,
  { depotId, day, visitId }: { depotId: string; day: string; visitId: string },
): Promise<number> {
  const [row] = await tx.query<{ hours: number }[]>(
    `select coalesce(sum(v.hours), 0) as hours from visits v
     where v.fleet_id = $1 and v.cancelled_at is null and v.day = $2::date and v.depot_id = $3 and v.id <> $4
       and exists (select from due_lines l where l.fleet_id = $1 and l.visit_on = v.day and l.visit_id = v.id and ${visitStands()})`,
    [fleetId, day, depotId, visitId],
  );
  return row?.hours ?? 0;
}

/** A visit with the line that is added to it. */
export interface BookedLine {
  visitId: string;
  vehicleId: string;
  depotId: string;
  day: string;
  /** Of the whole visit. */
  hours: number;
  assignedTo: string | null;
  dueLineId: string;
  /** Of the line alone. */
  lineHours: number;
}

/**
 * Books a line: its visit is made, or gets the line and its hours. A line that was in the visit
 * before stays on record as it was then.
 */
export async function bookLine(
  tx: EntityManager,
  fleetId: string,
  at: Date,
  line: BookedLine,
): Promise<void> {
  const { visitId, vehicleId, depotId, day, hours, assignedTo, dueLineId, lineHours } = line;
  await tx.query(
    `insert into visits (fleet_id, id, confirmed_at, vehicle_id, depot_id, day, hours) values ($1, $2, $3, $4, $5, $6, $7)
     on conflict (fleet_id, id) do update set hours = excluded.hours, version = visits.version + 1`,
    [fleetId, visitId, at, vehicleId, depotId, day, hours],
  );
  await tx.query(
    `with told as (
       update due_lines l set visit_id = $2::uuid, visit_on = $4::date, visit_depot_id = $5::uuid, visit_counts_from = l.last_done_on, visit_assignee = $6::uuid,
         calendar_sequence = l.calendar_sequence + 1, revised_at = now()
       where l.fleet_id = $1 and l.id = $3::uuid)
     insert into visit_lines (fleet_id, visit_id, due_line_id, due_on, counts_from, hours)
     select $1, $2::uuid, l.id, l.due_on, l.last_done_on, $7::float8 from due_lines l where l.fleet_id = $1 and l.id = $3
     on conflict do nothing`,
    [fleetId, visitId, dueLineId, day, depotId, assignedTo, lineHours],
  );
}
