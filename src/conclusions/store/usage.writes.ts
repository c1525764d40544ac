import { runStatement } from '../../platform/database/statement.js';
import type { EntityManager } from 'typeorm';
import type { Placed } from '../../domain/conclusions/placing.js';
import type { CounterConclusion } from '../../domain/conclusions/vehicle-history.js';
import type { JudgedUsageReading } from '../../domain/usage/types.js';
import { arrayLiteral } from '../../platform/database/array-literal.js';
import { forEachYielding } from '../../platform/concurrency/yielding.js';

type CounterRow = Omit<CounterConclusion, 'rate'> & { rate: string | null };

/** A usage summary in the form in which it is stored. JSON values are already text. */
export interface SummaryRow {
  vehicleId: string;
  /** Whether the vehicle has no stored summary yet. */
  isNew: boolean;
  distance: CounterRow;
  engineHours: CounterRow;
  memory: string | null;
  /** Epoch milliseconds. */
  rememberedUntil: number | null;
  /** Null: keep the stored checkpoints. */
  checkpoints: string | null;
  checkpointsUntil: number | null;
}

export interface UsageChanges {
  judged: JudgedUsageReading[];
  summaries: SummaryRow[];
  jobs: Placed[];
  readings: Placed[];
  reEvaluations: Placed[];
  faults: Placed[];
  hotDays: Placed[];
}

const SAVE_USAGE = `with judged as (
       update usage_readings u set status = j.status, reason = j.reason, detail = j.detail, odometer_lifetime_km = j.km, engine_hours_lifetime = j.hours
       from unnest($2::uuid[], $3::text[], $4::text[], $5::jsonb[], $6::float8[], $7::float8[]) as j(id, status, reason, detail, km, hours)
       where u.fleet_id = $1 and u.id = j.id),
     jobs as (
       update job_reports j set odometer_lifetime_km = p.km, engine_hours_lifetime = p.hours
       from unnest($8::uuid[], $9::float8[], $10::float8[]) as p(id, km, hours) where j.fleet_id = $1 and j.id = p.id),
     measured as (
       update readings r set odometer_lifetime_km = p.km, engine_hours_lifetime = p.hours
       from unnest($11::uuid[], $12::float8[], $13::float8[]) as p(id, km, hours) where r.fleet_id = $1 and r.id = p.id),
     judged_anew as (
       update re_evaluations e set odometer_lifetime_km = p.km, engine_hours_lifetime = p.hours
       from unnest($27::uuid[], $28::float8[], $29::float8[]) as p(id, km, hours) where e.fleet_id = $1 and e.id = p.id),
     seen as (
       update faults x set odometer_lifetime_km = p.km, engine_hours_lifetime = p.hours
       from unnest($31::uuid[], $32::float8[], $33::float8[]) as p(id, km, hours) where x.fleet_id = $1 and x.id = p.id),
     hot as (
       update coolant_temperature_days t set odometer_lifetime_km = p.km, engine_hours_lifetime = p.hours
       from unnest($34::uuid[], $35::float8[], $36::float8[]) as p(id, km, hours) where t.fleet_id = $1 and t.id = p.id),
     summaries as (
       select * from unnest($14::uuid[], $15::timestamptz[], $16::float8[], $17::float8[], $18::jsonb[], $19::timestamptz[], $20::float8[], $21::float8[],
         $22::jsonb[], $23::json[], $24::timestamptz[], $25::jsonb[], $26::timestamptz[], $30::boolean[]) as s(vehicle_id, odometer_read_at, odometer_lifetime_km,
         odometer_offset_km, distance_rate, engine_hours_read_at, engine_hours_lifetime, engine_hours_offset, engine_hours_rate, memory,
         remembered_until, checkpoints, checkpoints_until, is_new)),
     known as (
       update usage_summaries u set odometer_read_at = s.odometer_read_at, odometer_lifetime_km = s.odometer_lifetime_km,
         odometer_offset_km = s.odometer_offset_km, distance_rate = s.distance_rate, engine_hours_read_at = s.engine_hours_read_at,
         engine_hours_lifetime = s.engine_hours_lifetime, engine_hours_offset = s.engine_hours_offset, engine_hours_rate = s.engine_hours_rate,
         memory = s.memory, remembered_until = s.remembered_until, checkpoints = coalesce(s.checkpoints, u.checkpoints),
         checkpoints_until = case when s.checkpoints is null then u.checkpoints_until else s.checkpoints_until end
       from summaries s where not s.is_new and u.fleet_id = $1 and u.vehicle_id = s.vehicle_id)
     insert into usage_summaries (fleet_id, vehicle_id, odometer_read_at, odometer_lifetime_km, odometer_offset_km, distance_rate,
       engine_hours_read_at, engine_hours_lifetime, engine_hours_offset, engine_hours_rate, memory, remembered_until, checkpoints, checkpoints_until)
     select $1, s.vehicle_id, s.odometer_read_at, s.odometer_lifetime_km, s.odometer_offset_km, s.distance_rate,
       s.engine_hours_read_at, s.engine_hours_lifetime, s.engine_hours_offset, s.engine_hours_rate, s.memory, s.remembered_until,
       coalesce(s.checkpoints, '[]'), s.checkpoints_until
     from summaries s where s.is_new`;

/**
 * Stores the conclusions about usage in one statement: the status of readings, the summaries, and
 * the position of each fact on the vehicle's usage.
 *
 * @param columns the summaries, from `summaryColumns`
 */
export async function saveUsage(
  tx: EntityManager,
  fleetId: string,
  { judged, summaries, jobs, readings, reEvaluations, faults, hotDays }: UsageChanges,
  columns: string[],
): Promise<void> {
  const moved = [...jobs, ...readings, ...reEvaluations, ...faults, ...hotDays];
  if (judged.length + summaries.length + moved.length === 0) return;
  const placed = (facts: Placed[]) => [
    facts.map((f) => f.id),
    facts.map((f) => f.odometerLifetimeKm),
    facts.map((f) => f.engineHoursLifetime),
  ];
  await runStatement(tx, {
    name: 'save_usage',
    text: SAVE_USAGE,
    values: [
      fleetId,
      judged.map((j) => j.id),
      judged.map((j) => j.status),
      judged.map((j) => j.reason),
      judged.map((j) => j.detail && JSON.stringify(j.detail)),
      judged.map((j) => j.odometerLifetimeKm),
      judged.map((j) => j.engineHoursLifetime),
      ...placed(jobs),
      ...placed(readings),
      ...columns,
      ...placed(reEvaluations),
      summaries.map(({ isNew }) => isNew),
      ...placed(faults),
      ...placed(hotDays),
    ],
  });
}

/** The values of summaries, column by column. */
export async function summaryColumns(summaries: readonly SummaryRow[]): Promise<string[]> {
  const instant = (at: number | null): Date | null => (at === null ? null : new Date(at));
  type Value = (row: SummaryRow) => string | number | Date | null;
  const counter = (key: 'distance' | 'engineHours'): Value[] => [
    (row) => instant(row[key].at),
    (row) => row[key].lifetime,
    (row) => row[key].offset,
    (row) => row[key].rate,
  ];
  const values: Value[] = [
    ({ vehicleId }) => vehicleId,
    ...counter('distance'),
    ...counter('engineHours'),
    ({ memory }) => memory,
    ({ rememberedUntil }) => instant(rememberedUntil),
    ({ checkpoints }) => checkpoints,
    ({ checkpointsUntil }) => instant(checkpointsUntil),
  ];
  const columns: string[] = [];
  await forEachYielding(values, (value) => void columns.push(arrayLiteral(summaries.map(value))));
  return columns;
}
