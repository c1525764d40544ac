import type { EntityManager } from 'typeorm';
import type { CircuitName } from '../../domain/vehicles/circuits.js';
import type { Action, Component } from '../../domain/intervals/types.js';
import { conditionsOf, type LineFilters } from '../../conclusions/due-list/due-list.queries.js';
import { visitStands } from '../../conclusions/due-list/visit-stands.sql.js';

/** A confirmed visit, as calendars show it. */
export interface CalendarVisit {
  id: string;
  on: string;
  unitNumber: string;
  depotId: string | null;
  lines: {
    component: Component;
    action: Action;
    item: string | null;
    circuit: CircuitName | null;
    isStarter: boolean;
  }[];
  /** The sum over all lines of the visit, done or not, so it never decreases. */
  sequence: number;
  revisedAt: Date;
}

/**
 * Confirmed visits that have not been cancelled, by day, each with its lines that match. Uses an
 * index on lines with visits.
 */
export function standingVisits(
  manager: EntityManager,
  fleetId: string,
  { dueBefore, ...filters }: LineFilters,
  limit: number,
): Promise<CalendarVisit[]> {
  const values: unknown[] = [fleetId];
  const conditions = conditionsOf(filters, values);
  if (dueBefore !== undefined) conditions.push(`l.visit_on < $${values.push(dueBefore)}::date`);
  return manager.query<CalendarVisit[]>(
    `select v.id, v."on", v."unitNumber", v."depotId", v.lines, x.sequence::int, x."revisedAt"
     from (
       select l.visit_id as id, l.visit_on as "on", min(l.unit_number) as "unitNumber", (array_agg(l.depot_id))[1] as "depotId",
         jsonb_agg(jsonb_build_object('component', l.component, 'action', l.action, 'item', l.item, 'circuit', l.named_circuit, 'isStarter', l.is_starter) order by l.component, l.action, l.item) as lines
       from due_lines l where ${['l.fleet_id = $1', visitStands(), ...conditions].join(' and ')}
       group by l.visit_on, l.visit_id order by l.visit_on, l.visit_id limit ${limit}) v
     cross join lateral (
       select sum(d.calendar_sequence) as sequence, max(d.revised_at) as "revisedAt"
       from visit_lines x join due_lines d on d.fleet_id = x.fleet_id and d.id = x.due_line_id
       where x.fleet_id = $1 and x.visit_id = v.id) x
     order by v."on", v.id`,
    values,
  );
}
