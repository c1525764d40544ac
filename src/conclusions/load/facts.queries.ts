import { faultCodeIn } from '../../domain/faults/fault-code.js';
import { KNOWN_OBD_CODES, KNOWN_SPNS } from '../../domain/faults/meanings.js';
import { runStatement } from '../../platform/database/statement.js';
import type { EntityManager } from 'typeorm';
import type {
  AlertActionRecord,
  DefectRecord,
  FaultRecord,
  HotDayRecord,
  JobRecord,
  ReadingRecord,
  ReEvaluationRecord,
  StoredAlert,
  VehicleHistory,
} from '../../domain/conclusions/vehicle-history.js';

/** A fact as it comes out of JSON: its instants are text. */
type Raw<T> = Omit<T, 'at'> & { at: string };

/** Its instants are epoch milliseconds already. */
type FaultJson = Omit<FaultRecord, 'code'> & { code: string };

interface FactRow {
  vehicle_id: string;
  sheet: VehicleHistory['sheet'];
  other_sheets: VehicleHistory['otherSheets'] | null;
  cohort: VehicleHistory['cohort'];
  practice: VehicleHistory['levelUncertainty'];
  design_low_temperature_c: number | null;
  jobs: Raw<JobRecord>[] | null;
  readings: Raw<ReadingRecord>[] | null;
  re_evaluations: Raw<ReEvaluationRecord>[] | null;
  faults: FaultJson[] | null;
  hot_days: HotDayRecord[] | null;
  /** The instants are epoch milliseconds already. */
  defects: DefectRecord[] | null;
  alert_actions: Raw<AlertActionRecord>[] | null;
  alerts: StoredAlert[] | null;
}

/** SQL for an instant in epoch milliseconds. */
const msOf = (column: string): string => `(extract(epoch from ${column}) * 1000)::float8`;

/** A vehicle's defects, each with what was decided about it. */
const DEFECTS = `select json_agg(json_build_object('id', t.id, 'at', ${msOf('t.reported_at')}, 'source', t.source, 'what', t.what,
         'component', t.component, 'item', t.item, 'state', t.state, 'repairedBy', t.repaired_by_id,
         'odometerLifetimeKm', t.odometer_lifetime_km, 'engineHoursLifetime', t.engine_hours_lifetime, 'decisions', (
           select coalesce(json_agg(json_build_object('id', k.id, 'at', ${msOf('k.at')}, 'kind', k.kind, 'dueOn', k.due_on,
             'work', case k.kind when 'triage' then json_build_object('component', k.component, 'action', k.action, 'item', k.item) end)
             order by k.at, k.id), '[]')
           from defect_decisions k where k.fleet_id = $1 and k.defect_id = t.id)) order by t.reported_at, t.id)
        from defects t where t.fleet_id = $1 and t.vehicle_id = v.id`;

/** By fleet, vehicles, and the fault codes that mean something: one row for each vehicle. */
const LOAD_FACTS = `select v.id as vehicle_id,
       case when s.id is not null then json_build_object('id', s.id, 'base', s.coolant_base, 'technology', s.coolant_technology,
         'capacityL', s.capacity_l, 'capRatingKpa', s.cap_rating_kpa, 'minToMaxL', s.min_to_max_l) end as sheet,
       case when s.other_circuits <> '[]' then (select json_agg(json_build_object('circuit', o.circuit, 'base', o."coolantBase", 'technology', o."coolantTechnology",
          'capacityL', o."capacityL", 'capRatingKpa', o."capRatingKpa", 'minToMaxL', o."minToMaxL"))
        from jsonb_to_recordset(s.other_circuits) as o(circuit text, "coolantBase" text, "coolantTechnology" text, "capacityL" float8, "capRatingKpa" float8,
          "minToMaxL" float8)) end as other_sheets,
       case when c.spec_sheet_id is not null then json_build_object('mu0', c.mu0, 'sigma', c.sigma) end as cohort, f.practice,
       coalesce(v.design_low_temperature_c, p.design_low_temperature_c) as design_low_temperature_c,
       (select json_agg(json_build_object('id', j.id, 'at', j.performed_at, 'isBaseline', j.is_baseline,
          'isReleased', j.released_for_service is not distinct from 'yes', 'odometerLifetimeKm', j.odometer_lifetime_km,
          'engineHoursLifetime', j.engine_hours_lifetime, 'repairedDefects', j.repaired_defects, 'lines', (
            select coalesce(json_agg(json_build_object('component', l.component, 'action', l.action, 'item', l.item,
              'circuit', nullif(l.circuit, s.circuit), 'failed', l.failed, 'lot', l.lot, 'partNumber', l.part_number) order by l.position), '[]')
            from job_lines l where l.fleet_id = $1 and l.job_report_id = j.id)) order by j.performed_at, j.id)
        from job_reports j where j.fleet_id = $1 and j.vehicle_id = v.id and j.voided_at is null) as jobs,
       (select json_agg(json_build_object('id', r.id, 'jobId', r.job_report_id, 'position', r.position, 'kind', r.kind, 'at', r.taken_at,
          'odometerLifetimeKm', r.odometer_lifetime_km, 'engineHoursLifetime', r.engine_hours_lifetime, 'canonical', r.canonical,
          'evaluation', r.evaluation, 'limits', r.limits, 'circuit', nullif(r.circuit, s.circuit)) order by r.taken_at, r.id)
        from readings r where r.fleet_id = $1 and r.vehicle_id = v.id and r.voided_at is null) as readings,
       (select json_agg(json_build_object('id', e.id, 'readingId', e.reading_id, 'at', e.judged_at, 'odometerLifetimeKm', e.odometer_lifetime_km,
          'engineHoursLifetime', e.engine_hours_lifetime, 'evaluation', e.evaluation, 'limits', e.limits) order by e.judged_at, e.id)
        from re_evaluations e where e.fleet_id = $1 and e.vehicle_id = v.id) as re_evaluations,
       (select json_agg(json_build_object('id', x.id, 'code', x.code, 'isActive', x.is_active, 'occurrences', x.occurrences,
          'at', ${msOf('x.first_at')}, 'firstAt', ${msOf('x.first_at')}, 'lastAt', ${msOf('x.last_at')},
          'odometerLifetimeKm', x.odometer_lifetime_km, 'engineHoursLifetime', x.engine_hours_lifetime) order by x.first_at, x.id)
        from faults x where x.fleet_id = $1 and x.vehicle_id = v.id and x.voided_at is null
          and (x.spn = any ($3::int[]) or x.code = any ($4::text[]))) as faults,
       (select json_agg(json_build_object('id', t.id, 'at', ${msOf('t.overheated_from')}, 'until', ${msOf('t.overheated_until')},
          'day', t.day, 'highestC', t.highest_c, 'alarmC', t.alarm_c,
          'odometerLifetimeKm', t.odometer_lifetime_km, 'engineHoursLifetime', t.engine_hours_lifetime) order by t.overheated_from, t.id)
        from coolant_temperature_days t where t.fleet_id = $1 and t.vehicle_id = v.id and t.overheated_from is not null
          and t.voided_at is null) as hot_days,
       (${DEFECTS}) as defects,
       (select json_agg(json_build_object('id', a.id, 'at', a.at, 'alertKey', l.key, 'action', a.action, 'until', a.until, 'note', a.note, 'by', a.token_id)
          order by a.at, a.id)
        from loss_alerts l join loss_alert_actions a on a.fleet_id = l.fleet_id and a.alert_id = l.id
        where l.fleet_id = $1 and l.vehicle_id = v.id) as alert_actions,
       (select json_agg(json_build_object('id', l.id, 'key', l.key, 'isStanding', l.is_standing, 'status', l.status, 'shelvedUntil', l.shelved_until,
          'returned', l.returned, 'evidence', l.evidence, 'computed', l.computed))
        from loss_alerts l where l.fleet_id = $1 and l.vehicle_id = v.id) as alerts
     from unnest($2::uuid[]) as n(id)
     join vehicles v on v.fleet_id = $1 and v.id = n.id
     join fleets f on f.id = v.fleet_id
     left join spec_sheets s on s.fleet_id = v.fleet_id and s.id = v.spec_sheet_id
     left join loss_cohorts c on c.fleet_id = v.fleet_id and c.spec_sheet_id = v.spec_sheet_id
     left join depots p on p.fleet_id = v.fleet_id and p.id = v.depot_id`;

/**
 * Loads the facts of the vehicles in one statement: jobs, readings, faults, hot days, defects,
 * alerts, what people did about the alerts, and the values that the loss watch is based on.
 */
export async function loadFacts(
  tx: EntityManager,
  fleetId: string,
  histories: readonly VehicleHistory[],
): Promise<void> {
  const byId = new Map(histories.map((history) => [history.vehicleId, history]));
  const rows = await runStatement<FactRow[]>(tx, {
    name: 'load_facts',
    text: LOAD_FACTS,
    values: [fleetId, [...byId.keys()], KNOWN_SPNS, KNOWN_OBD_CODES],
  });
  const dated = <T extends { at: number }>(facts: Raw<T>[]): T[] =>
    facts.map((fact) => ({ ...fact, at: Date.parse(fact.at) }) as unknown as T);
  for (const row of rows) {
    const history = byId.get(row.vehicle_id);
    if (!history) continue;
    history.sheet = row.sheet;
    history.otherSheets = row.other_sheets ?? [];
    history.cohort = row.cohort;
    history.levelUncertainty = row.practice;
    history.designLowTemperatureC = row.design_low_temperature_c;
    history.jobs = dated<JobRecord>(row.jobs ?? []);
    history.readings = dated<ReadingRecord>(row.readings ?? []);
    history.reEvaluations = dated<ReEvaluationRecord>(row.re_evaluations ?? []);
    history.faults = (row.faults ?? []).map((fault) => ({ ...fault, code: faultCodeIn(fault.code) }));
    history.hotDays = row.hot_days ?? [];
    history.defects = row.defects ?? [];
    history.alertActions = dated<AlertActionRecord>(row.alert_actions ?? []);
    history.alerts = row.alerts ?? [];
  }
}
