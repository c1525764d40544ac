import type { EntityManager } from 'typeorm';
import type { CircuitName } from '../../domain/vehicles/circuits.js';

/** What is known of the coolant that is now in a circuit. */
export interface CoolantState {
  freezePointAt: Date | null;
  freezePointTyped: Record<string, unknown> | null;
  freezePointEvaluation: { verdict: string | null; computed: Record<string, unknown> } | null;
  /** The values of the latest inhibitor reading since the coolant was replaced. */
  condition: Record<string, unknown> | null;
  /** The latest known strength in volume %, from a reading or from what was filled. */
  strengthPercent: number | null;
}

const STRENGTH = `case r.kind when 'freeze-point' then r.evaluation->'computed'->>'strengthVolumePercent' else coalesce(r.evaluation->'computed'->>'expectedStrengthPercent', r.canonical->>'strengthPercent') end`;

/** True when the coolant has not been replaced since the reading `r`. */
const IN_THE_SYSTEM = `not exists (
           select from job_reports j join job_lines l on l.fleet_id = j.fleet_id and l.job_report_id = j.id
           where j.fleet_id = v.fleet_id and j.vehicle_id = v.id and j.voided_at is null and j.performed_at > r.taken_at
             and l.component = 'coolant' and l.action in ('replace', 'flush')
             and nullif(l.circuit, s.circuit) is not distinct from nullif(r.circuit, s.circuit))`;

/** The columns of a `CoolantState`, for a query with `coolantState`. */
export const COOLANT_STATE = `z.taken_at as "freezePointAt", z.typed as "freezePointTyped", z.evaluation as "freezePointEvaluation",
       p.percent as "strengthPercent", i.condition`;

/**
 * The joins that `COOLANT_STATE` needs, in a query over vehicles `v` and their sheets `s`.
 *
 * @param circuit SQL of the circuit as it is recorded; null: the first
 */
export function coolantState(circuit: string): string {
  const latest = (columns: string, where: string): string => `
       select ${columns} from readings r
       where r.fleet_id = v.fleet_id and r.vehicle_id = v.id and r.voided_at is null and ${where}
         and nullif(r.circuit, s.circuit) is not distinct from ${circuit} and ${IN_THE_SYSTEM}
       order by r.taken_at desc, r.id desc limit 1`;
  return `left join lateral (${latest('r.taken_at, r.typed, r.evaluation', "r.kind = 'freeze-point'")}) z on true
     left join lateral (${latest(`(${STRENGTH})::float8 as percent`, `r.kind in ('freeze-point', 'fill') and ${STRENGTH} is not null`)}) p on true
     left join lateral (${latest("r.evaluation->'computed' as condition", "r.kind = 'coolant-condition'")}) i on true`;
}

/** A circuit of a vehicle besides its first. */
export interface VehicleCircuit {
  vehicleId: string;
  circuit: CircuitName;
}

/** The key of a circuit in the answer of `coolantStatesIn`. */
export const stateKey = (vehicleId: string, circuit: CircuitName): string => `${vehicleId} ${circuit}`;

/** What is known of the coolant in circuits besides the first, of one vehicle or of many. */
export async function coolantStatesIn(
  manager: EntityManager,
  fleetId: string,
  asked: readonly VehicleCircuit[],
): Promise<Map<string, CoolantState>> {
  if (asked.length === 0) return new Map();
  const rows = await manager.query<(CoolantState & VehicleCircuit)[]>(
    `select v.id as "vehicleId", c.circuit, ${COOLANT_STATE}
     from unnest($2::uuid[], $3::text[]) as c(vehicle_id, circuit)
     join vehicles v on v.fleet_id = $1 and v.id = c.vehicle_id
     left join spec_sheets s on s.fleet_id = v.fleet_id and s.id = v.spec_sheet_id
     ${coolantState('c.circuit')}`,
    [fleetId, asked.map(({ vehicleId }) => vehicleId), asked.map(({ circuit }) => circuit)],
  );
  return new Map(
    rows.map(({ vehicleId, circuit, ...state }) => [stateKey(vehicleId, circuit), state] as const),
  );
}
