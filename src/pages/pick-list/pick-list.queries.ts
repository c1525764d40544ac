import type { EntityManager } from 'typeorm';
import { CLEARED_BY_PROOF } from '../../domain/loss/facts/types.js';
import type { WorkLine } from '../../domain/intervals/types.js';
import type { CircuitName } from '../../domain/vehicles/circuits.js';
import { visitStands } from '../../conclusions/due-list/visit-stands.sql.js';
import { coolantState } from '../job-cards/coolant-state.queries.js';
import { type CardContentRow, CONTENT_COLUMNS } from '../job-cards/job-card.queries.js';

/** A visit of the day, with what its vehicle's spec sheet says. */
export interface PickRow extends CardContentRow {
  visitId: string;
  vehicleId: string;
  unitNumber: string;
  lines: WorkLine[];
}

/**
 * The visits of a depot on a day that are still to be done, with their work and the sheets of their
 * vehicles, in one statement. It reads the index of the lines that visits are planned for.
 */
export function pickRows(
  manager: EntityManager,
  fleetId: string,
  { depotId, on, limit }: { depotId: string; on: string; limit: number },
): Promise<PickRow[]> {
  return manager.query<PickRow[]>(
    `with planned as materialized (
       select l.visit_id, l.vehicle_id, jsonb_agg(jsonb_build_object('component', l.component, 'action', l.action, 'item', l.item, 'circuit', l.circuit)
         order by l.is_at_once desc, l.component, l.action, l.item, l.circuit) as lines
       from due_lines l where l.fleet_id = $1 and l.visit_on = $3::date and l.visit_depot_id = $2 and ${visitStands()}
       group by 1, 2 order by 1, 2 limit $4)
     select planned.visit_id as "visitId", v.id as "vehicleId", v.unit_number as "unitNumber", planned.lines,
       d.elevation_m as "elevationM", d.id as "workedAtDepotId", d.elevation_m as "workedAtElevationM", ${CONTENT_COLUMNS}
     from planned
     join vehicles v on v.fleet_id = $1 and v.id = planned.vehicle_id
     join fleets f on f.id = v.fleet_id
     left join depots d on d.fleet_id = v.fleet_id and d.id = $2
     left join spec_sheets s on s.fleet_id = v.fleet_id and s.id = v.spec_sheet_id
     left join usage_summaries u on u.fleet_id = v.fleet_id and u.vehicle_id = v.id
     ${coolantState('null')}
     order by v.unit_number, v.id, planned.visit_id`,
    [fleetId, depotId, on, limit],
  );
}

/** A circuit that loses coolant. */
export interface LeakRow {
  vehicleId: string;
  /** As it was recorded. */
  circuit: CircuitName | null;
}

/**
 * The circuits of vehicles in which a leak stands that only a pressure test settles: by an open loss
 * alert, or by a reading that an open line waits for.
 */
export function leakRows(
  manager: EntityManager,
  fleetId: string,
  vehicleIds: readonly string[],
): Promise<LeakRow[]> {
  return manager.query<LeakRow[]>(
    `select a.vehicle_id as "vehicleId", a.circuit from loss_alerts a
     where a.fleet_id = $1 and a.vehicle_id = any($2::uuid[]) and a.is_standing and a.status <> 'cleared' and a.kind = any($3)
     union
     select r.vehicle_id, r.circuit
     from due_lines l cross join lateral jsonb_array_elements_text(l.opened_by) w(id)
     join readings r on r.fleet_id = l.fleet_id and r.id = w.id::uuid
     where l.fleet_id = $1 and l.vehicle_id = any($2::uuid[]) and l.is_open and l.origin = 'follow-up' and l.opened_by is not null
       and r.voided_at is null and (r.kind = 'hold-test' and r.typed->>'method' = 'pressure'
         or r.kind in ('warm-up-check', 'road-test') and r.typed->'leakSeen' = 'true')`,
    [fleetId, vehicleIds, CLEARED_BY_PROOF],
  );
}
