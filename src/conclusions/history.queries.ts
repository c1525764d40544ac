import type { EntityManager } from 'typeorm';
import type { IntervalRule } from '../domain/intervals/types.js';
import { restartFrom, STORE_AFTER_DAYS } from '../domain/usage/checkpoints.js';
import { MS_PER_DAY } from '../domain/usage/counter-limits.js';
import { USUAL_WINDOW_DAYS } from '../domain/usage/daily-rate.js';
import type { Checkpoint, DailyRate, UsageSource } from '../domain/usage/types.js';
import { type PackedMemory, unpackMemory } from '../domain/usage/pack-memory.js';
import type { UsageMemory } from '../domain/usage/usage-memory.js';
import { inTurns } from '../platform/turns.js';
import { knownCheckpoints } from './conclude-usage.js';
import { LINE_COLUMNS, lineOf } from './due-line-columns.js';
import type {
  AlertActionRecord,
  AssignmentFact,
  PostponementRecord,
  ReEvaluationRecord,
  JobRecord,
  LoadedUsage,
  ReadingRecord,
  StoredAlert,
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
  /** Parsed in its turn: a thousand at once, as they come in, would keep others waiting. */
  memory: string | null;
  has_summary: boolean;
}

/** What a plan says, by its id. */
type PlanRow = { id: string; intervals: IntervalRule[] };

/** A vehicle, and the earliest instant (epoch milliseconds) at which its readings changed; null: none did. */
export interface WantedVehicle {
  vehicleId: string;
  changedFrom: number | null;
}

/**
 * The vehicles, with what is assigned to them and what was concluded of their usage; and every plan that ever was. The stored checkpoints come
 * with those that go on from one, and with those for which it is time to store them anew.
 */
export async function loadVehicles(
  tx: EntityManager,
  fleetId: string,
  wanted: readonly WantedVehicle[],
): Promise<{ histories: VehicleHistory[]; plans: Map<string, IntervalRule[]> }> {
  const rows = await tx.query<(VehicleRow & { plans: PlanRow[] | null })[]>(
    // Each looked up by itself: of a fleet that is new to its statistics PostgreSQL would take a join to be of one row, and read all of the fleet's.
    `/* named load_vehicles */ with assigned as materialized (
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
         v.expected_daily_km, v.expected_daily_hours
       from vehicles v where v.fleet_id = $1 and v.id = w.id limit 1) v
     left join lateral (select * from usage_summaries u where u.fleet_id = $1 and u.vehicle_id = w.id limit 1) u on true`,
    [
      fleetId,
      wanted.map(({ vehicleId }) => vehicleId),
      wanted.map(({ changedFrom }) => (changedFrom === null ? null : new Date(changedFrom))),
      STORE_AFTER_DAYS,
    ],
  );
  const plans = new Map(rows.flatMap((row) => row.plans ?? []).map((plan) => [plan.id, plan.intervals]));
  const histories: VehicleHistory[] = [];
  await inTurns(rows, (row) => void histories.push(historyOf(row)));
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
    postponements: [],
    alertActions: [],
    lines: [],
    alerts: [],
  };
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
}

const USAGE_COLUMNS = `u.id, u.vehicle_id, u.read_at, u.odometer_km, u.engine_hours, u.odometer_replaced, u.engine_hours_replaced, u.source,
  u.decision, u.held_at_arrival, u.status, u.reason, u.detail, u.odometer_lifetime_km, u.engine_hours_lifetime`;

/** How much of a vehicle's readings is needed. */
export interface UsageNeed {
  vehicleId: string;
  /** Epoch milliseconds; null: all of them. */
  since: number | null;
  /** Whether it is to be found out that there are none before; otherwise some are taken to be. */
  asksForEarlier: boolean;
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
  // Materialized: whether there are earlier ones is asked once for each vehicle, and not for each reading.
  const rows = await tx.query<(UsageRow & { has_earlier: boolean })[]>(
    `/* named load_usage */ with w as materialized (
       select n.vehicle_id, n.since, n.since > '-infinity' and (not n.asks or exists (
         select from usage_readings e where e.fleet_id = $1 and e.vehicle_id = n.vehicle_id and e.read_at < n.since and not e.is_undone)) as has_earlier
       from unnest($2::uuid[], $3::timestamptz[], $4::boolean[]) as n(vehicle_id, since, asks))
     select ${USAGE_COLUMNS}, w.has_earlier
     from w join usage_readings u on u.fleet_id = $1 and u.vehicle_id = w.vehicle_id and u.read_at >= w.since and not u.is_undone
     order by u.vehicle_id, u.read_at, u.id`,
    [
      fleetId,
      needs.map(({ vehicleId }) => vehicleId),
      needs.map(({ since }) => (since === null ? '-infinity' : new Date(since))),
      needs.map(({ asksForEarlier }) => asksForEarlier),
    ],
  );
  for (const row of rows) {
    const usage = byVehicle.get(row.vehicle_id);
    if (!usage) continue;
    usage.isComplete = !row.has_earlier;
    usage.readings.push(usageOf(row));
  }
  return byVehicle;
}

function usageOf(row: UsageRow): StoredUsage {
  return {
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
  };
}

/** From where judging is taken up for readings changed at `changedFrom`, and which of those before are needed to find the rate again. */
export function usageNeed(
  vehicleId: string,
  summary: UsageConclusion,
  changedFrom: number,
): { need: UsageNeed; start: Checkpoint | null; memory: UsageMemory | null } {
  const { memory } = summary;
  if (memory !== null && memory.checkpoint.at < changedFrom) {
    const { checkpoint } = memory;
    // What came up to then is remembered; instants are whole milliseconds.
    return {
      need: { vehicleId, since: checkpoint.at + 1, asksForEarlier: false },
      start: checkpoint,
      memory,
    };
  }
  const start = restartFrom(knownCheckpoints(summary), changedFrom);
  if (start === null) return { need: { vehicleId, since: null, asksForEarlier: false }, start, memory: null };
  // The last values believed at the start: the later ones that are stored may be what is voided.
  const last = Math.min(
    start.odometer.core.head?.at ?? Infinity,
    start.engineHours.core.head?.at ?? Infinity,
    changedFrom,
  );
  const since = Math.min(start.at, last - (USUAL_WINDOW_DAYS + DAY_EDGES) * MS_PER_DAY);
  return { need: { vehicleId, since, asksForEarlier: true }, start, memory: null };
}

/** Facts as they come out of JSON: instants are text. */
type Raw<T> = Omit<T, 'at'> & { at: string };

interface StandingRow {
  vehicle_id: string;
  /** JSON, parsed in its turn. */
  lines: string | null;
  postponements: PostponementRecord[] | null;
  is_movable: boolean;
}

/**
 * The due lines of the vehicles as they stand, and what was put off of them: one statement for all.
 *
 * @returns the vehicles whose other facts must be loaded, too, though usage alone changed: they have an open follow-up, or a fact near their last
 *   readings. Of the others usage moves nothing else
 */
export async function loadStanding(
  tx: EntityManager,
  fleetId: string,
  histories: readonly VehicleHistory[],
): Promise<VehicleHistory[]> {
  const byId = new Map(histories.map((history) => [history.vehicleId, history]));
  const rows = await tx.query<StandingRow[]>(
    `/* named load_standing */ select n.vehicle_id, d.lines,
       (select json_agg(json_build_object('dueLineId', p.due_line_id, 'cycle', p.cycle, 'on', p.until_on, 'odometerLifetimeKm', p.until_odometer_lifetime_km,
          'engineHoursLifetime', p.until_engine_hours_lifetime)) from postponements p where p.fleet_id = $1 and p.vehicle_id = n.vehicle_id) as postponements,
       coalesce(d.has_follow_up, false)
         or exists (select from readings r where r.fleet_id = $1 and r.vehicle_id = n.vehicle_id and r.taken_at >= n.since)
         or exists (select from job_reports j where j.fleet_id = $1 and j.vehicle_id = n.vehicle_id and j.performed_at >= n.since)
         or exists (select from re_evaluations e where e.fleet_id = $1 and e.vehicle_id = n.vehicle_id and e.judged_at >= n.since) as is_movable
     from unnest($2::uuid[], $3::timestamptz[]) as n(vehicle_id, since)
     cross join lateral (
       select json_agg(json_build_array(${LINE_COLUMNS.map((column) => `d.${column}`).join(', ')}) order by d.due_on, d.id)::text as lines,
         bool_or(d.origin = 'follow-up' and d.is_open) as has_follow_up
       from due_lines d where d.fleet_id = $1 and d.vehicle_id = n.vehicle_id) d`,
    [fleetId, [...byId.keys()], histories.map(({ usage }) => movableSince(usage))],
  );
  const movable: VehicleHistory[] = [];
  await inTurns(rows, (row) => {
    const history = byId.get(row.vehicle_id);
    if (!history) return;
    history.lines = row.lines === null ? [] : (JSON.parse(row.lines) as unknown[][]).map(lineOf);
    history.postponements = row.postponements ?? [];
    if (row.is_movable) movable.push(history);
    // No fact since ever: there is none to be loaded.
    else if (history.usage.isChanged && history.usage.start === null) history.readings = [];
  });
  return movable;
}

interface FactRow {
  vehicle_id: string;
  sheet: VehicleHistory['sheet'];
  cohort: VehicleHistory['cohort'];
  practice: VehicleHistory['levelUncertainty'];
  design_low_temperature_c: number | null;
  jobs: Raw<JobRecord>[] | null;
  readings: Raw<ReadingRecord>[] | null;
  re_evaluations: Raw<ReEvaluationRecord>[] | null;
  alert_actions: Raw<AlertActionRecord>[] | null;
  alerts: StoredAlert[] | null;
}

/** What the loss watch goes by, the jobs of the vehicles, their measurements, their alerts, and what people did about those: one statement for all. */
export async function loadFacts(
  tx: EntityManager,
  fleetId: string,
  histories: readonly VehicleHistory[],
): Promise<void> {
  const byId = new Map(histories.map((history) => [history.vehicleId, history]));
  const rows = await tx.query<FactRow[]>(
    `/* named load_facts */ select v.id as vehicle_id,
       case when s.id is not null then json_build_object('id', s.id, 'base', s.coolant_base, 'technology', s.coolant_technology,
         'capacityL', s.capacity_l, 'capRatingKpa', s.cap_rating_kpa, 'minToMaxL', s.min_to_max_l) end as sheet,
       case when c.spec_sheet_id is not null then json_build_object('mu0', c.mu0, 'sigma', c.sigma) end as cohort, f.practice,
       coalesce(v.design_low_temperature_c, p.design_low_temperature_c) as design_low_temperature_c,
       (select json_agg(json_build_object('id', j.id, 'at', j.performed_at, 'isBaseline', j.is_baseline,
          'isReleased', j.released_for_service is not distinct from 'yes', 'odometerLifetimeKm', j.odometer_lifetime_km,
          'engineHoursLifetime', j.engine_hours_lifetime, 'lines', (
            select coalesce(json_agg(json_build_object('component', l.component, 'action', l.action, 'item', l.item, 'failed', l.failed,
              'lot', l.lot, 'partNumber', l.part_number) order by l.position), '[]')
            from job_lines l where l.fleet_id = $1 and l.job_report_id = j.id)) order by j.performed_at, j.id)
        from job_reports j where j.fleet_id = $1 and j.vehicle_id = v.id and j.voided_at is null) as jobs,
       (select json_agg(json_build_object('id', r.id, 'jobId', r.job_report_id, 'position', r.position, 'kind', r.kind, 'at', r.taken_at,
          'odometerLifetimeKm', r.odometer_lifetime_km, 'engineHoursLifetime', r.engine_hours_lifetime, 'canonical', r.canonical,
          'evaluation', r.evaluation, 'limits', r.limits) order by r.taken_at, r.id)
        from readings r where r.fleet_id = $1 and r.vehicle_id = v.id and r.voided_at is null) as readings,
       (select json_agg(json_build_object('id', e.id, 'readingId', e.reading_id, 'at', e.judged_at, 'odometerLifetimeKm', e.odometer_lifetime_km,
          'engineHoursLifetime', e.engine_hours_lifetime, 'evaluation', e.evaluation, 'limits', e.limits) order by e.judged_at, e.id)
        from re_evaluations e where e.fleet_id = $1 and e.vehicle_id = v.id) as re_evaluations,
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
     left join depots p on p.fleet_id = v.fleet_id and p.id = v.depot_id`,
    [fleetId, [...byId.keys()]],
  );
  const dated = <T extends { at: number }>(facts: Raw<T>[]): T[] =>
    facts.map((fact) => ({ ...fact, at: Date.parse(fact.at) }) as unknown as T);
  for (const row of rows) {
    const history = byId.get(row.vehicle_id);
    if (!history) continue;
    history.sheet = row.sheet;
    history.cohort = row.cohort;
    history.levelUncertainty = row.practice;
    history.designLowTemperatureC = row.design_low_temperature_c;
    history.jobs = dated<JobRecord>(row.jobs ?? []);
    history.readings = dated<ReadingRecord>(row.readings ?? []);
    history.reEvaluations = dated<ReEvaluationRecord>(row.re_evaluations ?? []);
    history.alertActions = dated<AlertActionRecord>(row.alert_actions ?? []);
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
