import type { EntityManager } from 'typeorm';
import type { IntervalRule } from '../domain/intervals/types.js';
import { restartFrom } from '../domain/usage/checkpoints.js';
import { MS_PER_DAY } from '../domain/usage/counter-limits.js';
import { USUAL_WINDOW_DAYS } from '../domain/usage/daily-rate.js';
import type { Checkpoint, DailyRate, UsageSource } from '../domain/usage/types.js';
import type {
  AlertActionRecord,
  AssignmentFact,
  PostponementRecord,
  ReEvaluationRecord,
  JobRecord,
  LoadedUsage,
  ReadingRecord,
  StoredAlert,
  StoredLine,
  StoredUsage,
  UsageConclusion,
  VehicleHistory,
} from './history.js';

/** Days of the fleet's zone begin and end within one of UTC's. */
const DAY_EDGES = 2;

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
  design_low_temperature_c: number | null;
  sheet: VehicleHistory['sheet'];
  cohort: VehicleHistory['cohort'];
  practice: VehicleHistory['levelUncertainty'];
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
}

/** What a plan says, by its id. */
type PlanRow = { id: string; intervals: IntervalRule[] };

/** The vehicles, with what is assigned to them and what was concluded of their usage; and every plan that ever was. */
export async function loadVehicles(
  tx: EntityManager,
  fleetId: string,
  vehicleIds: string[],
): Promise<{ histories: VehicleHistory[]; plans: Map<string, IntervalRule[]> }> {
  const rows = await tx.query<(VehicleRow & { plans: PlanRow[] | null })[]>(
    `with wanted as (select unnest($2::uuid[]) as id),
     plans as (
       select jsonb_agg(jsonb_build_object('id', p.id, 'intervals', p.intervals)) as all_plans
       from interval_plans p where p.fleet_id = $1 and p.id in (
         select h.interval_plan_id from wanted w join vehicle_assignments h on h.fleet_id = $1 and h.vehicle_id = w.id))
     select v.id, v.unit_number, v.depot_id, v.status, v.in_use_months, v.in_service_on, v.in_service_odometer_km, v.in_service_engine_hours,
       v.expected_daily_km, v.expected_daily_hours, coalesce(v.design_low_temperature_c, p.design_low_temperature_c) as design_low_temperature_c,
       case when s.id is not null then jsonb_build_object('id', s.id, 'base', s.coolant_base, 'technology', s.coolant_technology,
         'capacityL', s.capacity_l, 'capRatingKpa', s.cap_rating_kpa) end as sheet,
       case when c.spec_sheet_id is not null then jsonb_build_object('mu0', c.mu0, 'sigma', c.sigma) end as cohort, f.practice,
       a.assignments, u.odometer_read_at, u.odometer_lifetime_km, u.odometer_offset_km, u.distance_rate,
       u.engine_hours_read_at, u.engine_hours_lifetime, u.engine_hours_offset, u.engine_hours_rate, u.checkpoints,
       case when row_number() over (order by v.id) = 1 then (select all_plans from plans) end as plans
     from wanted w join vehicles v on v.fleet_id = $1 and v.id = w.id
     join fleets f on f.id = v.fleet_id
     left join usage_summaries u on u.fleet_id = v.fleet_id and u.vehicle_id = v.id
     left join spec_sheets s on s.fleet_id = v.fleet_id and s.id = v.spec_sheet_id
     left join loss_cohorts c on c.fleet_id = v.fleet_id and c.spec_sheet_id = v.spec_sheet_id
     left join depots p on p.fleet_id = v.fleet_id and p.id = v.depot_id
     cross join lateral (
       select jsonb_agg(jsonb_build_object('effectiveOn', h.effective_on, 'duty', h.duty, 'planId', h.interval_plan_id, 'status', h.status)
                        order by h.effective_on, h.id) as assignments
       from vehicle_assignments h where h.fleet_id = v.fleet_id and h.vehicle_id = v.id) a`,
    [fleetId, vehicleIds],
  );
  const plans = new Map(rows.flatMap((row) => row.plans ?? []).map((plan) => [plan.id, plan.intervals]));
  const histories = rows.map((row): VehicleHistory => ({
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
    designLowTemperatureC: row.design_low_temperature_c,
    sheet: row.sheet,
    cohort: row.cohort,
    levelUncertainty: row.practice,
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
      checkpoints: row.checkpoints ?? [],
    },
    usage: { readings: [], start: null, isComplete: false, isChanged: false },
    jobs: [],
    readings: null,
    reEvaluations: [],
    postponements: [],
    alertActions: [],
    lines: [],
    alerts: [],
  }));
  return { histories, plans };
}

interface UsageRow {
  id: string;
  vehicle_id: string;
  read_at: Date;
  odometer_km: number | null;
  engine_hours: number | null;
  odometer_replaced: boolean;
  engine_hours_replaced: boolean;
  source: UsageSource;
  decision: StoredUsage['decision'];
  held_at_arrival: StoredUsage['heldAtArrival'];
  status: string;
  reason: string | null;
  detail: string | null;
  odometer_lifetime_km: number | null;
  engine_hours_lifetime: number | null;
  has_earlier: boolean;
}

/** How much of a vehicle's readings is needed. */
export interface UsageNeed {
  vehicleId: string;
  /** Epoch milliseconds; null: all of them. */
  since: number | null;
}

/** Some of a vehicle's readings, in time order. */
export interface SomeUsage {
  readings: StoredUsage[];
  /** Whether there are none before them. */
  isComplete: boolean;
}

/** The usage readings of several vehicles, each from its own instant on. */
export async function loadUsage(
  tx: EntityManager,
  fleetId: string,
  needs: readonly UsageNeed[],
): Promise<Map<string, SomeUsage>> {
  const byVehicle = new Map<string, SomeUsage>(
    needs.map(({ vehicleId, since }) => [vehicleId, { readings: [], isComplete: since === null }]),
  );
  if (needs.length === 0) return byVehicle;
  const rows = await tx.query<UsageRow[]>(
    `select u.id, u.vehicle_id, u.read_at, u.odometer_km, u.engine_hours, u.odometer_replaced, u.engine_hours_replaced, u.source, u.decision,
       u.held_at_arrival, u.status, u.reason, u.detail, u.odometer_lifetime_km, u.engine_hours_lifetime, w.has_earlier
     from (
       select n.vehicle_id, n.since,
         exists (select from usage_readings e where e.fleet_id = $1 and e.vehicle_id = n.vehicle_id and e.read_at < n.since) as has_earlier
       from unnest($2::uuid[], $3::timestamptz[]) as n(vehicle_id, since)) w
     join usage_readings u on u.fleet_id = $1 and u.vehicle_id = w.vehicle_id and u.read_at >= w.since
     order by u.vehicle_id, u.read_at, u.id`,
    [
      fleetId,
      needs.map(({ vehicleId }) => vehicleId),
      needs.map(({ since }) => (since === null ? '-infinity' : new Date(since))),
    ],
  );
  for (const row of rows) {
    const usage = byVehicle.get(row.vehicle_id);
    if (!usage) continue;
    usage.isComplete = !row.has_earlier;
    usage.readings.push({
      id: row.id,
      at: row.read_at.getTime(),
      odometerKm: row.odometer_km,
      engineHours: row.engine_hours,
      odometerReplaced: row.odometer_replaced,
      engineHoursReplaced: row.engine_hours_replaced,
      source: row.source,
      decision: row.decision,
      heldAtArrival: row.held_at_arrival,
      status: row.status,
      reason: row.reason,
      detail: row.detail,
      odometerLifetimeKm: row.odometer_lifetime_km,
      engineHoursLifetime: row.engine_hours_lifetime,
    });
  }
  return byVehicle;
}

/** From which instant on readings are needed to judge those changed at `changedFrom` and to find the rate again. */
export function usageNeed(
  vehicleId: string,
  summary: UsageConclusion,
  changedFrom: number,
): { need: UsageNeed; start: Checkpoint | null } {
  const start = restartFrom(summary.checkpoints, changedFrom);
  if (start === null) return { need: { vehicleId, since: null }, start };
  const last = Math.min(summary.distance.at ?? Infinity, summary.engineHours.at ?? Infinity, changedFrom);
  return {
    need: { vehicleId, since: Math.min(start.at, last - (USUAL_WINDOW_DAYS + DAY_EDGES) * MS_PER_DAY) },
    start,
  };
}

/** Facts as they come out of JSON: instants are text. */
type Raw<T> = Omit<T, 'at'> & { at: string };

interface FactRow {
  vehicle_id: string;
  jobs: Raw<JobRecord>[] | null;
  readings: Raw<ReadingRecord>[] | null;
  re_evaluations: Raw<ReEvaluationRecord>[] | null;
  postponements: PostponementRecord[] | null;
  alert_actions: Raw<AlertActionRecord>[] | null;
  lines: StoredLine[] | null;
  alerts: StoredAlert[] | null;
}

/** The columns of a stored line, as an object. */
const LINE_JSON = `jsonb_build_object('id', d.id, 'vehicleId', d.vehicle_id, 'unitNumber', d.unit_number, 'depotId', d.depot_id, 'component', d.component,
  'action', d.action, 'item', d.item, 'origin', d.origin, 'originKey', d.origin_key, 'isOpen', d.is_open, 'noBaseline', d.no_baseline,
  'windowOpensOn', d.window_opens_on, 'dueOn', d.due_on, 'lateOn', d.late_on, 'lateLapsesOn', d.late_lapses_on, 'lateForGoodOn', d.late_for_good_on,
  'earliestOn', d.earliest_on, 'latestOn', d.latest_on, 'trigger', d.trigger, 'dueOdometerLifetimeKm', d.due_odometer_lifetime_km,
  'dueEngineHoursLifetime', d.due_engine_hours_lifetime, 'dueDate', d.due_date, 'lastDoneOn', d.last_done_on)
  || jsonb_build_object('lastDoneOdometerLifetimeKm', d.last_done_odometer_lifetime_km, 'lastDoneEngineHoursLifetime', d.last_done_engine_hours_lifetime,
  'lastDoneReportId', d.last_done_report_id, 'cycle', d.cycle, 'staleOn', d.stale_on, 'needsReading', d.needs_reading, 'postponedUntil', d.postponed_until)`;

/**
 * The jobs of the vehicles, their measurements, what people did about their alerts, and the due lines and alerts as they stand: one
 * statement for all vehicles.
 *
 * @param forAll whether a fact other than usage changed. Otherwise measurements are loaded only for vehicles that have an open
 *   follow-up, or a fact near their last readings: usage alone moves nothing else
 */
export async function loadFacts(
  tx: EntityManager,
  fleetId: string,
  histories: readonly VehicleHistory[],
  forAll: boolean,
): Promise<void> {
  const byId = new Map(histories.map((history) => [history.vehicleId, history]));
  // Materialized: whether a vehicle's measurements can move is asked once, and not once for each kind of fact.
  const rows = await tx.query<FactRow[]>(
    `with w as materialized (
       select n.vehicle_id, $4::boolean
         or exists (select from due_lines d where d.fleet_id = $1 and d.vehicle_id = n.vehicle_id and d.origin = 'follow-up' and d.is_open)
         or exists (select from readings r where r.fleet_id = $1 and r.vehicle_id = n.vehicle_id and r.taken_at >= n.since)
         or exists (select from job_reports j where j.fleet_id = $1 and j.vehicle_id = n.vehicle_id and j.performed_at >= n.since)
         or exists (select from re_evaluations e where e.fleet_id = $1 and e.vehicle_id = n.vehicle_id and e.judged_at >= n.since) as movable
       from unnest($2::uuid[], $3::timestamptz[]) as n(vehicle_id, since))
     select w.vehicle_id, j.jobs, r.readings, e.re_evaluations, p.postponements, a.alert_actions, d.lines, l.alerts
     from w
     cross join lateral (
       select jsonb_agg(jsonb_build_object('id', j.id, 'at', j.performed_at, 'isBaseline', j.is_baseline, 'odometerLifetimeKm', j.odometer_lifetime_km,
         'engineHoursLifetime', j.engine_hours_lifetime, 'lines', (
           select coalesce(jsonb_agg(jsonb_build_object('component', l.component, 'action', l.action, 'item', l.item, 'failed', l.failed,
             'lot', l.lot, 'partNumber', l.part_number) order by l.position), '[]')
           from job_lines l where l.fleet_id = $1 and l.job_report_id = j.id)) order by j.performed_at, j.id) as jobs
       from job_reports j where j.fleet_id = $1 and j.vehicle_id = w.vehicle_id and j.voided_at is null) j
     cross join lateral (
       select case when w.movable then coalesce(jsonb_agg(jsonb_build_object('id', r.id, 'jobId', r.job_report_id, 'kind', r.kind, 'at', r.taken_at,
         'odometerLifetimeKm', r.odometer_lifetime_km, 'engineHoursLifetime', r.engine_hours_lifetime, 'canonical', r.canonical,
         'evaluation', r.evaluation, 'limits', r.limits) order by r.taken_at, r.id), '[]') end as readings
       from readings r where r.fleet_id = $1 and r.vehicle_id = w.vehicle_id and r.voided_at is null and w.movable) r
     cross join lateral (
       select jsonb_agg(jsonb_build_object('id', e.id, 'readingId', e.reading_id, 'at', e.judged_at, 'odometerLifetimeKm', e.odometer_lifetime_km,
         'engineHoursLifetime', e.engine_hours_lifetime, 'evaluation', e.evaluation, 'limits', e.limits) order by e.judged_at, e.id) as re_evaluations
       from re_evaluations e where e.fleet_id = $1 and e.vehicle_id = w.vehicle_id and w.movable) e
     cross join lateral (
       select jsonb_agg(jsonb_build_object('dueLineId', p.due_line_id, 'cycle', p.cycle, 'on', p.until_on, 'odometerLifetimeKm', p.until_odometer_lifetime_km,
         'engineHoursLifetime', p.until_engine_hours_lifetime)) as postponements
       from postponements p where p.fleet_id = $1 and p.vehicle_id = w.vehicle_id) p
     cross join lateral (
       select jsonb_agg(jsonb_build_object('id', a.id, 'at', a.at, 'alertKey', l.key, 'action', a.action, 'until', a.until, 'note', a.note, 'by', a.token_id)
         order by a.at, a.id) as alert_actions
       from loss_alerts l join loss_alert_actions a on a.fleet_id = l.fleet_id and a.alert_id = l.id
       where l.fleet_id = $1 and l.vehicle_id = w.vehicle_id and w.movable) a
     cross join lateral (
       select jsonb_agg(${LINE_JSON}) as lines from due_lines d where d.fleet_id = $1 and d.vehicle_id = w.vehicle_id) d
     cross join lateral (
       select jsonb_agg(jsonb_build_object('id', l.id, 'key', l.key, 'isStanding', l.is_standing, 'status', l.status, 'shelvedUntil', l.shelved_until,
         'returned', l.returned,
         'evidence', l.evidence, 'computed', l.computed)) as alerts
       from loss_alerts l where l.fleet_id = $1 and l.vehicle_id = w.vehicle_id and w.movable) l`,
    [fleetId, [...byId.keys()], histories.map(({ usage }) => movableSince(usage)), forAll],
  );
  const dated = <T extends { at: number }>(facts: Raw<T>[]): T[] =>
    facts.map((fact) => ({ ...fact, at: Date.parse(fact.at) }) as unknown as T);
  for (const row of rows) {
    const history = byId.get(row.vehicle_id);
    if (!history) continue;
    history.jobs = dated<JobRecord>(row.jobs ?? []);
    history.readings = row.readings && dated<ReadingRecord>(row.readings);
    history.reEvaluations = dated<ReEvaluationRecord>(row.re_evaluations ?? []);
    history.postponements = row.postponements ?? [];
    history.alertActions = dated<AlertActionRecord>(row.alert_actions ?? []);
    history.lines = row.lines ?? [];
    history.alerts = row.alerts ?? [];
  }
}

/** Facts from here on can have another usage position than before: from the older of the last values believed at the restart. */
function movableSince({ start }: LoadedUsage): Date | string {
  if (start === null) return '-infinity';
  const heads = [start.odometer.core.head?.at, start.engineHours.core.head?.at].filter(
    (at) => at !== undefined,
  );
  return new Date(Math.min(start.at, ...heads));
}
