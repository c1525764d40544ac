import { runStatement } from '../../platform/database/statement.js';
import type { EntityManager } from 'typeorm';
import type { AssignmentFact, VehicleHistory } from '../../domain/conclusions/vehicle-history.js';
import type { IntervalRule } from '../../domain/intervals/types.js';
import { STORE_AFTER_DAYS } from '../../domain/usage/checkpoints.js';
import { type PackedMemory, unpackMemory } from '../../domain/usage/pack-memory.js';
import type { Checkpoint, DailyRate } from '../../domain/usage/types.js';
import { type CircuitName, ENGINE_ALONE } from '../../domain/vehicles/circuits.js';
import { forEachYielding } from '../../platform/concurrency/yielding.js';

interface VehicleRow {
  id: string;
  unit_number: string;
  depot_id: string | null;
  status: VehicleHistory['status'];
  in_use_months: number[] | null;
  in_service_on: string | null;
  in_service_odometer_km: number | null;
  in_service_engine_hours: number | null;
  expected_daily_km: number | null;
  expected_daily_hours: number | null;
  first_circuit: CircuitName | null;
  other_circuits: CircuitName[] | null;
  assignments: AssignmentFact[];
  odometer_read_at: Date | null;
  odometer_lifetime_km: number | null;
  odometer_offset_km: number | null;
  distance_rate: DailyRate | null;
  engine_hours_read_at: Date | null;
  engine_hours_lifetime: number | null;
  engine_hours_offset: number | null;
  engine_hours_rate: DailyRate | null;
  checkpoints: Checkpoint[] | null;
  /**
   * JSON, parsed vehicle by vehicle. Parsing a thousand of them as they arrive would block other
   * requests.
   */
  memory: string | null;
  has_summary: boolean;
}

/** The intervals of a plan, by its id. */
type PlanRow = { id: string; intervals: IntervalRule[] };

/**
 * A vehicle, and the earliest instant (epoch milliseconds) at which its readings changed. Null when
 * none did.
 */
export interface WantedVehicle {
  vehicleId: string;
  changedFrom: number | null;
}

/**
 * Loads the vehicles with their assignments and usage summaries, and every plan they ever followed.
 * The stored checkpoints are loaded in two cases only: judging may have to restart from one, or it
 * is time to store new ones.
 */
export async function loadVehicles(
  tx: EntityManager,
  fleetId: string,
  wanted: readonly WantedVehicle[],
): Promise<{ histories: VehicleHistory[]; plans: Map<string, IntervalRule[]> }> {
  const rows = await runStatement<(VehicleRow & { plans: PlanRow[] | null })[]>(tx, {
    name: 'load_vehicles',
    text: `with assigned as materialized (
       select w.*, a.plan_ids, a.assignments from unnest($2::uuid[], $3::timestamptz[]) as w(id, changed_from) cross join lateral (
         select array_agg(h.interval_plan_id) as plan_ids,
           json_agg(json_build_object('effectiveOn', h.effective_on, 'duty', h.duty, 'planId', h.interval_plan_id, 'status', h.status)
                    order by h.effective_on, h.id) as assignments
         from vehicle_assignments h where h.fleet_id = $1 and h.vehicle_id = w.id) a),
     plans as (
       select json_agg(json_build_object('id', p.id, 'intervals', p.intervals)) as all_plans
       from interval_plans p where p.fleet_id = $1 and p.id = any(array(select distinct unnest(plan_ids) from assigned)))
     select v.*, w.assignments, u.odometer_read_at, u.odometer_lifetime_km, u.odometer_offset_km, u.distance_rate, u.engine_hours_read_at,
       u.engine_hours_lifetime, u.engine_hours_offset, u.engine_hours_rate, u.memory::text as memory, u.vehicle_id is not null as has_summary,
       case when w.changed_from <= u.remembered_until or u.remembered_until is null or u.checkpoints_until is null
         or u.remembered_until - u.checkpoints_until > make_interval(days => $4) then u.checkpoints end as checkpoints,
       case when row_number() over () = 1 then (select all_plans from plans) end as plans
     from assigned w
     cross join lateral (
       select v.id, v.unit_number, v.depot_id, v.status, v.in_use_months, v.in_service_on, v.in_service_odometer_km, v.in_service_engine_hours,
         v.expected_daily_km, v.expected_daily_hours, s.circuit as first_circuit,
         case when s.other_circuits <> '[]' then jsonb_path_query_array(s.other_circuits, '$[*].circuit') end as other_circuits
       from vehicles v left join spec_sheets s on s.fleet_id = $1 and s.id = v.spec_sheet_id where v.fleet_id = $1 and v.id = w.id limit 1) v
     left join lateral (select * from usage_summaries u where u.fleet_id = $1 and u.vehicle_id = w.id limit 1) u on true`,
    values: [
      fleetId,
      wanted.map(({ vehicleId }) => vehicleId),
      wanted.map(({ changedFrom }) => (changedFrom === null ? null : new Date(changedFrom))),
      STORE_AFTER_DAYS,
    ],
  });
  const plans = new Map(rows.flatMap((row) => row.plans ?? []).map((plan) => [plan.id, plan.intervals]));
  const histories: VehicleHistory[] = [];
  await forEachYielding(rows, (row) => void histories.push(historyOf(row)));
  return { histories, plans };
}

function historyOf(row: VehicleRow): VehicleHistory {
  return {
    vehicleId: row.id,
    unitNumber: row.unit_number,
    depotId: row.depot_id,
    status: row.status,
    inUseMonths: row.in_use_months,
    inServiceOn: row.in_service_on,
    inServiceOdometerKm: row.in_service_odometer_km,
    inServiceEngineHours: row.in_service_engine_hours,
    expectedDailyKm: row.expected_daily_km,
    expectedDailyHours: row.expected_daily_hours,
    designLowTemperatureC: null,
    circuits:
      row.first_circuit === null
        ? ENGINE_ALONE
        : { first: row.first_circuit, others: row.other_circuits ?? [] },
    sheet: null,
    cohort: null,
    levelUncertainty: {},
    assignments: row.assignments,
    summary: {
      distance: {
        at: row.odometer_read_at?.getTime() ?? null,
        lifetime: row.odometer_lifetime_km,
        offset: row.odometer_offset_km,
        rate: row.distance_rate,
      },
      engineHours: {
        at: row.engine_hours_read_at?.getTime() ?? null,
        lifetime: row.engine_hours_lifetime,
        offset: row.engine_hours_offset,
        rate: row.engine_hours_rate,
      },
      checkpoints: row.checkpoints,
      memory: row.memory === null ? null : unpackMemory(JSON.parse(row.memory) as PackedMemory),
    },
    hasSummary: row.has_summary,
    usage: { readings: [], start: null, memory: null, isComplete: false, isChanged: false },
    jobs: [],
    readings: null,
    reEvaluations: [],
    ...{ faults: [], hotDays: [], defects: [] },
    postponements: [],
    alertActions: [],
    lines: [],
    alerts: [],
  };
}
