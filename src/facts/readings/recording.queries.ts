import type { EntityManager } from 'typeorm';
import type { CommonPractice } from '../../domain/evaluation/common-practice.js';
import type { FastenerGroup } from '../../domain/fastening/fastener-group.js';
import type { CoolantAdditive } from '../../domain/coolant-condition/additive-dose.js';
import type { CoolantBase, CoolantTechnology } from '../../domain/coolant/coolant.js';
import type { CircuitName } from '../../domain/vehicles/circuits.js';
import type { SpecBelt, SpecCircuit, SpecCondition } from '../../entities/spec-sheet.entity.js';
import { runStatement } from '../../platform/database/statement.js';

export interface Surroundings {
  vehicle_id: string;
  design_low_temperature_c: number | null;
  depot_low_temperature_c: number | null;
  depot_elevation_m: number | null;
  worked_at_found: boolean;
  worked_at_elevation_m: number | null;
  sheet_id: string | null;
  first_circuit: CircuitName | null;
  other_circuits: SpecCircuit[] | null;
  /** The values of the sheet that are still ready-made. */
  starter_values: string[] | null;
  /** The circuits of its open due lines, but for those about the first. */
  open_circuits: CircuitName[] | null;
  coolant_base: CoolantBase | null;
  coolant_technology: CoolantTechnology | null;
  capacity_l: number | null;
  drainable_l: number | null;
  target_strength_percent: number | null;
  strength_max_percent: number | null;
  cap_rating_kpa: number | null;
  max_test_pressure_kpa: number | null;
  thermostat_opens_c: number | null;
  high_temperature_alarm_c: number | null;
  min_to_max_l: number | null;
  additive: CoolantAdditive | null;
  coolant_condition: SpecCondition | null;
  hold_test_method: 'vacuum' | 'pressure' | null;
  hold_test_target_kpa: number | null;
  hold_test_minutes: number | null;
  hold_test_allowed_loss_kpa: number | null;
  fasteners: FastenerGroup[] | null;
  belts: SpecBelt[] | null;
  /** The fleet's changes to the trade's usual defaults. */
  practice: Partial<CommonPractice>;
  /** Content hash of the report with this id, if it exists already. */
  known_hash: Buffer | null;
  /** The defects of the vehicle among those that the report says were repaired. */
  known_defects: string[];
}

/**
 * Locks the vehicle and reads what its readings are judged against: spec sheet, depot and place of
 * work. Also reads whether the report is already known.
 */
export async function lockSurroundings(
  tx: EntityManager,
  fleetId: string,
  vehicleId: string,
  workedAtDepotId: string | null,
  reportId: string | null,
  defectIds: readonly string[] = [],
): Promise<Surroundings | null> {
  const [row] = await runStatement<Surroundings[]>(tx, {
    name: 'lock_surroundings',
    text: `select v.id as vehicle_id, v.design_low_temperature_c, d.design_low_temperature_c as depot_low_temperature_c, d.elevation_m as depot_elevation_m,
       w.id is not null as worked_at_found, w.elevation_m as worked_at_elevation_m, s.id as sheet_id, s.coolant_base, s.coolant_technology, s.capacity_l,
       s.drainable_l, s.target_strength_percent, s.strength_max_percent, s.cap_rating_kpa, s.max_test_pressure_kpa, s.thermostat_opens_c, s.high_temperature_alarm_c,
       s.min_to_max_l, s.additive, s.coolant_condition, s.hold_test_method,
       s.hold_test_target_kpa, s.hold_test_minutes, s.hold_test_allowed_loss_kpa, s.fasteners, s.belts, s.circuit as first_circuit, s.other_circuits, s.starter_values,
       (select array_agg(distinct l.circuit) from due_lines l where l.fleet_id = v.fleet_id and l.vehicle_id = v.id and l.is_open and l.circuit is not null) as open_circuits,
       f.practice, j.content_hash as known_hash,
       array(select t.id from defects t where t.fleet_id = v.fleet_id and t.vehicle_id = v.id and t.id = any($5::uuid[])) as known_defects
     from vehicles v
     join fleets f on f.id = v.fleet_id
     left join depots d on d.fleet_id = v.fleet_id and d.id = v.depot_id
     left join depots w on w.fleet_id = v.fleet_id and w.id = $3
     left join spec_sheets s on s.fleet_id = v.fleet_id and s.id = v.spec_sheet_id
     left join job_reports j on j.fleet_id = v.fleet_id and j.id = $4
     where v.fleet_id = $1 and v.id = $2
     for no key update of v`,
    values: [fleetId, vehicleId, workedAtDepotId, reportId, defectIds],
  });
  return row ?? null;
}

/** The rows to insert, as JSON by column name. */
export interface NewFacts {
  reports: Record<string, unknown>[];
  lines: Record<string, unknown>[];
  usage: Record<string, unknown>[];
  readings: Record<string, unknown>[];
}

/** Stores a job with its lines, its usage reading and its readings in one statement. */
export async function insertFacts(
  tx: EntityManager,
  fleetId: string,
  tokenId: string | null,
  { reports, lines, usage, readings }: NewFacts,
): Promise<void> {
  await runStatement(tx, {
    name: 'insert_facts',
    text: `with report as (
       insert into job_reports (fleet_id, id, vehicle_id, performed_at, sent_at, performed_by, odometer_km, engine_hours, elevation_m, worked_at_depot_id,
         depot_id, verdict, is_released_with_findings, released_for_service, notes, content_hash, supersedes_id, possible_duplicate_of_id, repaired_defects, outcome, odometer_lifetime_km, engine_hours_lifetime,
         token_id, received_at)
       select $1, r.id, r.vehicle_id, r.performed_at, r.sent_at, r.performed_by, r.odometer_km, r.engine_hours, r.elevation_m, r.worked_at_depot_id,
         r.depot_id, r.verdict, r.is_released_with_findings, r.released_for_service, r.notes, decode(r.content_hash, 'hex'), r.supersedes_id, r.possible_duplicate_of_id, r.repaired_defects, r.outcome,
         r.odometer_lifetime_km, r.engine_hours_lifetime, $2, r.received_at
       from jsonb_to_recordset($3::jsonb) as r(id uuid, vehicle_id uuid, performed_at timestamptz, sent_at timestamptz, performed_by text, odometer_km float8,
         engine_hours float8, elevation_m float8, worked_at_depot_id uuid, depot_id uuid, verdict text, is_released_with_findings boolean, released_for_service text, notes text, content_hash text,
         supersedes_id uuid, possible_duplicate_of_id uuid, repaired_defects uuid[], outcome jsonb,
         odometer_lifetime_km float8, engine_hours_lifetime float8, received_at timestamptz)),
     lines as (
       insert into job_lines (fleet_id, job_report_id, position, vehicle_id, component, action, item, circuit, part_number, lot, finding, failed)
       select $1, r.* from jsonb_to_recordset($4::jsonb) as r(job_report_id uuid, position int, vehicle_id uuid, component text, action text, item text,
         circuit text, part_number text, lot text, finding text, failed boolean)),
     usage as (
       insert into usage_readings (fleet_id, id, vehicle_id, read_at, odometer_km, engine_hours, source, odometer_unit, job_report_id, held_at_arrival, status,
         reason, detail, odometer_lifetime_km, engine_hours_lifetime, token_id)
       select $1, r.*, $2 from jsonb_to_recordset($5::jsonb) as r(id uuid, vehicle_id uuid, read_at timestamptz, odometer_km float8, engine_hours float8,
         source text, odometer_unit text, job_report_id uuid, held_at_arrival text, status text, reason text, detail jsonb, odometer_lifetime_km float8,
         engine_hours_lifetime float8)
       on conflict do nothing)
     insert into readings (fleet_id, id, vehicle_id, job_report_id, position, kind, circuit, taken_at, odometer_km, engine_hours, odometer_lifetime_km,
       engine_hours_lifetime, typed, canonical, evaluation, limits, token_id, received_at)
     select $1, r.id, r.vehicle_id, r.job_report_id, r.position, r.kind, r.circuit, r.taken_at, r.odometer_km, r.engine_hours, r.odometer_lifetime_km,
       r.engine_hours_lifetime, r.typed, r.canonical, r.evaluation, r.limits, $2, r.received_at
     from jsonb_to_recordset($6::jsonb) as r(id uuid, vehicle_id uuid, job_report_id uuid, position int, kind text, circuit text, taken_at timestamptz, odometer_km float8,
       engine_hours float8, odometer_lifetime_km float8, engine_hours_lifetime float8, typed jsonb, canonical jsonb, evaluation jsonb, limits jsonb,
       received_at timestamptz)`,
    values: [
      fleetId,
      tokenId,
      JSON.stringify(reports),
      JSON.stringify(lines),
      JSON.stringify(usage),
      JSON.stringify(readings),
    ],
  });
}

export interface NewCompletion {
  dueLineId: string;
  windowOpensOn: string;
  dueOn: string;
  lateOn: string;
}

/** Records the dates of the lines that a job reset, as they were when it was done. */
export async function insertCompletions(
  tx: EntityManager,
  fleetId: string,
  jobReportId: string,
  performedOn: string,
  completions: NewCompletion[],
): Promise<void> {
  if (completions.length === 0) return;
  await runStatement(tx, {
    name: 'insert_completions',
    text: `insert into completions (fleet_id, job_report_id, due_line_id, performed_on, window_opens_on, due_on, late_on)
     select $1, $2, c.due_line_id, $3, c.window_opens_on, c.due_on, c.late_on
     from unnest($4::uuid[], $5::date[], $6::date[], $7::date[]) as c(due_line_id, window_opens_on, due_on, late_on)`,
    values: [
      fleetId,
      jobReportId,
      performedOn,
      completions.map((c) => c.dueLineId),
      completions.map((c) => c.windowOpensOn),
      completions.map((c) => c.dueOn),
      completions.map((c) => c.lateOn),
    ],
  });
}
