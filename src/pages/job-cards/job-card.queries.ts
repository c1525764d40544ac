import type { EntityManager } from 'typeorm';
import type { CommonPractice } from '../../domain/evaluation/common-practice.js';
import type { CoolantAdditive } from '../../domain/coolant-condition/additive-dose.js';
import type { CoolantBase, CoolantTechnology } from '../../domain/coolant/coolant.js';
import type { DailyRate } from '../../domain/usage/types.js';
import type { CircuitName } from '../../domain/vehicles/circuits.js';
import { COOLANT_STATE, coolantState, type CoolantState } from './coolant-state.queries.js';
import type {
  SpecBelt,
  SpecCircuit,
  SpecCondition,
  SpecFastener,
  SpecPart,
} from '../../entities/spec-sheet.entity.js';
import type { Duty, VehicleStatus } from '../../entities/vehicle.entity.js';
import type { WorkLine } from '../../domain/intervals/types.js';
import { type CardDefectRow, OPEN_DEFECTS } from './card-defects.js';
import { type CardFaultRow, RECENT_FAULTS } from './card-faults.js';
import { KNOWN_CODES } from '../../domain/faults/meanings.js';
import { firstShownDay, SHOWN_DAYS, type ShownDays } from '../../facts/temperatures/shown-days.queries.js';
import { visitStands } from '../../conclusions/due-list/visit-stands.sql.js';

interface UnitRow {
  id: string;
  unitNumber: string;
}

/** A depot. Every field is null when there is none. */
interface DepotColumns {
  depotId: string | null;
  depotName: string | null;
  elevationM: number | null;
}

/** What the domain needs of a vehicle to say what its work takes, without the other circuits. */
export interface CardContentRow extends CoolantState {
  elevationM: number | null;
  workedAtDepotId: string | null;
  workedAtElevationM: number | null;
  sheetId: string | null;
  base: CoolantBase | null;
  technology: CoolantTechnology | null;
  capacityL: number | null;
  drainableL: number | null;
  targetStrengthPercent: number | null;
  capRatingKpa: number | null;
  maxTestPressureKpa: number | null;
  holdTestMethod: 'vacuum' | 'pressure' | null;
  holdTestTargetKpa: number | null;
  holdTestMinutes: number | null;
  holdTestAllowedLossKpa: number | null;
  fasteners: SpecFastener[] | null;
  belts: SpecBelt[] | null;
  parts: SpecPart[] | null;
  odometerLifetimeKm: number | null;
  engineHoursLifetime: number | null;
  /** The fleet's changes to the trade's usual defaults. */
  practice: Partial<CommonPractice>;
  additive: CoolantAdditive | null;
  coolantCondition: SpecCondition | null;
  firstCircuit: CircuitName | null;
  otherCircuits: SpecCircuit[] | null;
  /** The values of the sheet that are still ready-made. */
  starterValues: string[] | null;
}

/**
 * A vehicle with everything needed to draw its job card, except due lines, readings, alerts, and
 * what is known of the coolant in other circuits than the first.
 */
export interface JobCardRow extends DepotColumns, CardContentRow {
  unitNumber: string;
  make: string | null;
  model: string | null;
  modelYear: number | null;
  vin: string | null;
  serialNumber: string | null;
  duty: Duty;
  status: VehicleStatus;
  carrier: UnitRow | null;
  carries: UnitRow[];
  workedAtDepotName: string | null;
  /** The vehicle's own, else its depot's. */
  designLowTemperatureC: number | null;
  sheetName: string | null;
  circuitNote: string | null;
  odometerReadAt: Date | null;
  odometerOffsetKm: number | null;
  distanceRate: DailyRate | null;
  engineHoursReadAt: Date | null;
  engineHoursOffset: number | null;
  engineHoursRate: DailyRate | null;
  defects: CardDefectRow[];
  faults: CardFaultRow[];
  shownDays: ShownDays;
}

const DAYS_ASKED = {
  fleetId: 'v.fleet_id',
  vehicleId: 'v.id',
  timeZone: 'f.time_zone',
  from: '$6',
  asOf: '$7',
};

/**
 * The columns of a `CardContentRow` but for where the work is done, for a query over vehicles `v`,
 * their fleets `f`, sheets `s` and usage `u`, with `coolantState`.
 */
export const CONTENT_COLUMNS = `s.id as "sheetId", s.coolant_base as base, s.coolant_technology as technology,
     s.capacity_l as "capacityL", s.drainable_l as "drainableL", s.target_strength_percent as "targetStrengthPercent",
     s.cap_rating_kpa as "capRatingKpa", s.max_test_pressure_kpa as "maxTestPressureKpa", s.hold_test_method as "holdTestMethod",
     s.hold_test_target_kpa as "holdTestTargetKpa", s.hold_test_minutes as "holdTestMinutes",
     s.hold_test_allowed_loss_kpa as "holdTestAllowedLossKpa", s.fasteners, s.belts, s.parts,
     u.odometer_lifetime_km as "odometerLifetimeKm", u.engine_hours_lifetime as "engineHoursLifetime",
     ${COOLANT_STATE}, f.practice, s.additive, s.coolant_condition as "coolantCondition",
     s.circuit as "firstCircuit", s.other_circuits as "otherCircuits", s.starter_values as "starterValues"`;

const CARD_ROW = `select v.unit_number as "unitNumber", v.make, v.model, v.model_year as "modelYear", v.vin, v.serial_number as "serialNumber", v.duty, v.status,
     case when c.id is not null then jsonb_build_object('id', c.id, 'unitNumber', c.unit_number) end as carrier,
     (select coalesce(jsonb_agg(jsonb_build_object('id', m.id, 'unitNumber', m.unit_number) order by m.unit_number), '[]')
      from vehicles m where m.fleet_id = v.fleet_id and m.mounted_on = v.id and m.status <> 'disposed') as carries,
     coalesce(v.design_low_temperature_c, d.design_low_temperature_c) as "designLowTemperatureC",
     d.id as "depotId", d.name as "depotName", d.elevation_m as "elevationM",
     w.id as "workedAtDepotId", w.name as "workedAtDepotName", w.elevation_m as "workedAtElevationM",
     ${CONTENT_COLUMNS}, s.name as "sheetName", s.circuit_note as "circuitNote",
     u.odometer_read_at as "odometerReadAt", u.odometer_offset_km as "odometerOffsetKm",
     u.distance_rate as "distanceRate", u.engine_hours_read_at as "engineHoursReadAt",
     u.engine_hours_offset as "engineHoursOffset", u.engine_hours_rate as "engineHoursRate", (${OPEN_DEFECTS}) as defects,
     (${RECENT_FAULTS('$4', '$5')}) as faults, (${SHOWN_DAYS(DAYS_ASKED)}) as "shownDays"
   from vehicles v
   join fleets f on f.id = v.fleet_id
   left join vehicles c on c.fleet_id = v.fleet_id and c.id = v.mounted_on
   left join depots d on d.fleet_id = v.fleet_id and d.id = v.depot_id
   left join depots w on w.fleet_id = v.fleet_id and w.id = $3
   left join spec_sheets s on s.fleet_id = v.fleet_id and s.id = v.spec_sheet_id
   left join usage_summaries u on u.fleet_id = v.fleet_id and u.vehicle_id = v.id
   ${coolantState('null')}
   where v.fleet_id = $1 and v.id = $2`;

/** Which card is asked for, and the time. */
interface CardAsked {
  vehicleId: string;
  workedAtDepotId: string | null;
  now: Date;
  /** The day of `now` in the fleet's zone. */
  asOf: string;
}

/**
 * Reads a vehicle with its depot, sheet, usage, carrier, mounted units and latest strength in one
 * statement. Null when there is no such vehicle.
 */
export async function jobCardRow(
  manager: EntityManager,
  fleetId: string,
  { vehicleId, workedAtDepotId, now, asOf }: CardAsked,
): Promise<JobCardRow | null> {
  const [row] = await manager.query<JobCardRow[]>(CARD_ROW, [
    ...[fleetId, vehicleId, workedAtDepotId, KNOWN_CODES, now, firstShownDay(asOf), asOf],
  ]);
  return row ?? null;
}

export interface CardVisitRow {
  id: string;
  day: string;
  depotName: string | null;
  lines: WorkLine[];
}

/** More visits than one vehicle has planned at a time. */
const MOST_VISITS = 5;

/** The confirmed visits of a vehicle that are still planned, with the work of each. */
export function cardVisits(
  manager: EntityManager,
  fleetId: string,
  vehicleId: string,
): Promise<CardVisitRow[]> {
  return manager.query<CardVisitRow[]>(
    `select l.visit_id as id, l.visit_on as day, min(d.name) as "depotName",
       jsonb_agg(jsonb_build_object('component', l.component, 'action', l.action, 'item', l.item, 'circuit', l.circuit) order by l.component, l.action, l.item, l.circuit) as lines
     from due_lines l left join depots d on d.fleet_id = l.fleet_id and d.id = l.visit_depot_id
     where l.fleet_id = $1 and l.vehicle_id = $2 and ${visitStands()}
     group by l.visit_id, l.visit_on order by l.visit_on, l.visit_id limit ${MOST_VISITS}`,
    [fleetId, vehicleId],
  );
}
