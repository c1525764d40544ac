import { runStatement } from '../../platform/database/statement.js';
import type { EntityManager } from 'typeorm';
import type {
  LoadedUsage,
  PostponementRecord,
  VehicleHistory,
} from '../../domain/conclusions/vehicle-history.js';
import { forEachYielding } from '../../platform/concurrency/yielding.js';
import { LINE_COLUMNS, lineOf } from './due-line-columns.js';

interface StandingRow {
  vehicle_id: string;
  /** JSON. It is parsed later, vehicle by vehicle. */
  lines: string | null;
  postponements: PostponementRecord[] | null;
  is_movable: boolean;
}

/**
 * Loads the stored due lines of the vehicles and their postponements, in one statement.
 *
 * @returns the vehicles whose other facts must be loaded too, even if only usage changed. They have
 * an open follow-up, or a fact since their last believed readings. For the other vehicles, usage
 * changes nothing else
 */
export async function loadStanding(
  tx: EntityManager,
  fleetId: string,
  histories: readonly VehicleHistory[],
): Promise<VehicleHistory[]> {
  const byId = new Map(histories.map((history) => [history.vehicleId, history]));
  const rows = await runStatement<StandingRow[]>(tx, {
    name: 'load_standing',
    text: `select n.vehicle_id, d.lines,
       (select json_agg(json_build_object('dueLineId', p.due_line_id, 'cycle', p.cycle, 'on', p.until_on, 'odometerLifetimeKm', p.until_odometer_lifetime_km,
          'engineHoursLifetime', p.until_engine_hours_lifetime)) from postponements p where p.fleet_id = $1 and p.vehicle_id = n.vehicle_id and p.withdrawn_at is null) as postponements,
       coalesce(d.has_follow_up, false)
         or exists (select from readings r where r.fleet_id = $1 and r.vehicle_id = n.vehicle_id and r.taken_at >= n.since)
         or exists (select from job_reports j where j.fleet_id = $1 and j.vehicle_id = n.vehicle_id and j.performed_at >= n.since)
         or exists (select from re_evaluations e where e.fleet_id = $1 and e.vehicle_id = n.vehicle_id and e.judged_at >= n.since)
         or exists (select from faults x where x.fleet_id = $1 and x.vehicle_id = n.vehicle_id and x.first_at >= n.since)
         or exists (select from coolant_temperature_days t where t.fleet_id = $1 and t.vehicle_id = n.vehicle_id and t.overheated_from >= n.since)
         or exists (select from defects t where t.fleet_id = $1 and t.vehicle_id = n.vehicle_id and t.reported_at >= n.since) as is_movable
     from unnest($2::uuid[], $3::timestamptz[]) as n(vehicle_id, since)
     cross join lateral (
       select json_agg(json_build_array(${LINE_COLUMNS.map((column) => `d.${column}`).join(', ')}) order by d.due_on, d.id)::text as lines,
         bool_or(d.origin = 'follow-up' and d.is_open) as has_follow_up
       from due_lines d where d.fleet_id = $1 and d.vehicle_id = n.vehicle_id) d`,
    values: [fleetId, [...byId.keys()], histories.map(({ usage }) => movableSince(usage))],
  });
  const movable: VehicleHistory[] = [];
  await forEachYielding(rows, (row) => {
    const history = byId.get(row.vehicle_id);
    if (!history) return;
    history.lines = row.lines === null ? [] : (JSON.parse(row.lines) as unknown[][]).map(lineOf);
    history.postponements = row.postponements ?? [];
    if (row.is_movable) movable.push(history);
    // The vehicle has no facts at all, so there is nothing to load.
    else if (history.usage.isChanged && history.usage.start === null) history.readings = [];
  });
  return movable;
}

/**
 * From this instant on, the usage position of facts may have changed. It is the time of the older
 * of the two counter values that were last believed at the restart.
 */
function movableSince({ start }: LoadedUsage): Date | string {
  if (start === null) return '-infinity';
  const heads = [start.odometer.core.head?.at, start.engineHours.core.head?.at].filter(
    (at) => at !== undefined,
  );
  return new Date(Math.min(start.at, ...heads));
}
