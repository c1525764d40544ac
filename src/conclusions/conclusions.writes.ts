import type { EntityManager } from 'typeorm';
import type { LossAlertEpisode } from '../domain/loss/types.js';
import type { JudgedReading } from '../domain/usage/types.js';
import { NEVER } from './conclude-lines.js';
import type { ConcludedLine, Position, ReEvaluationRecord, StoredLine, UsageConclusion } from './history.js';

/** What makes two due lines the same one, whatever their dates. */
export function lineIdentity(line: ConcludedLine): string {
  return JSON.stringify([line.component, line.action, line.item, line.origin, line.originKey]);
}

/** Whether a stored line says the same as a concluded one. */
export function sameLine(stored: StoredLine, concluded: ConcludedLine): boolean {
  return (Object.keys(concluded) as (keyof ConcludedLine)[]).every((key) => stored[key] === concluded[key]);
}

type Placed = Position & { id: string };

export interface UsageChanges {
  judged: JudgedReading[];
  summaries: { vehicleId: string; conclusion: UsageConclusion }[];
  jobs: Placed[];
  readings: Placed[];
  reEvaluations: Placed[];
}

/** Stores what was concluded of usage: the standing of readings, the summaries, and where on its usage each fact lies. One statement. */
export async function saveUsage(
  tx: EntityManager,
  fleetId: string,
  { judged, summaries, jobs, readings, reEvaluations }: UsageChanges,
): Promise<void> {
  const moved = [...jobs, ...readings, ...reEvaluations];
  if (judged.length + summaries.length + moved.length === 0) return;
  const placed = (facts: Placed[]) => [
    facts.map((f) => f.id),
    facts.map((f) => f.odometerLifetimeKm),
    facts.map((f) => f.engineHoursLifetime),
  ];
  await tx.query(
    `with judged as (
       update usage_readings u set status = j.status, reason = j.reason, detail = j.detail, odometer_lifetime_km = j.km, engine_hours_lifetime = j.hours
       from unnest($2::uuid[], $3::text[], $4::text[], $5::text[], $6::float8[], $7::float8[]) as j(id, status, reason, detail, km, hours)
       where u.fleet_id = $1 and u.id = j.id),
     jobs as (
       update job_reports j set odometer_lifetime_km = p.km, engine_hours_lifetime = p.hours
       from unnest($8::uuid[], $9::float8[], $10::float8[]) as p(id, km, hours) where j.fleet_id = $1 and j.id = p.id),
     measured as (
       update readings r set odometer_lifetime_km = p.km, engine_hours_lifetime = p.hours
       from unnest($11::uuid[], $12::float8[], $13::float8[]) as p(id, km, hours) where r.fleet_id = $1 and r.id = p.id),
     judged_anew as (
       update re_evaluations e set odometer_lifetime_km = p.km, engine_hours_lifetime = p.hours
       from unnest($15::uuid[], $16::float8[], $17::float8[]) as p(id, km, hours) where e.fleet_id = $1 and e.id = p.id)
     insert into usage_summaries (fleet_id, vehicle_id, odometer_read_at, odometer_lifetime_km, odometer_offset_km, distance_rate,
       engine_hours_read_at, engine_hours_lifetime, engine_hours_offset, engine_hours_rate, checkpoints)
     select $1, r.* from jsonb_to_recordset($14::jsonb) as r(vehicle_id uuid, odometer_read_at timestamptz, odometer_lifetime_km float8,
       odometer_offset_km float8, distance_rate jsonb, engine_hours_read_at timestamptz, engine_hours_lifetime float8,
       engine_hours_offset float8, engine_hours_rate jsonb, checkpoints jsonb)
     on conflict (fleet_id, vehicle_id) do update set odometer_read_at = excluded.odometer_read_at,
       odometer_lifetime_km = excluded.odometer_lifetime_km, odometer_offset_km = excluded.odometer_offset_km,
       distance_rate = excluded.distance_rate, engine_hours_read_at = excluded.engine_hours_read_at,
       engine_hours_lifetime = excluded.engine_hours_lifetime, engine_hours_offset = excluded.engine_hours_offset,
       engine_hours_rate = excluded.engine_hours_rate, checkpoints = excluded.checkpoints`,
    [
      fleetId,
      judged.map((j) => j.id),
      judged.map((j) => j.status),
      judged.map((j) => j.reason),
      judged.map((j) => j.detail),
      judged.map((j) => j.odometerLifetimeKm),
      judged.map((j) => j.engineHoursLifetime),
      ...placed(jobs),
      ...placed(readings),
      JSON.stringify(summaries.map(summaryRow)),
      ...placed(reEvaluations),
    ],
  );
}

function summaryRow({
  vehicleId,
  conclusion: { distance, engineHours, checkpoints },
}: UsageChanges['summaries'][number]) {
  const instant = (at: number | null): string | null => (at === null ? null : new Date(at).toISOString());
  return {
    vehicle_id: vehicleId,
    odometer_read_at: instant(distance.at),
    odometer_lifetime_km: distance.lifetime,
    odometer_offset_km: distance.offset,
    distance_rate: distance.rate,
    engine_hours_read_at: instant(engineHours.at),
    engine_hours_lifetime: engineHours.lifetime,
    engine_hours_offset: engineHours.offset,
    engine_hours_rate: engineHours.rate,
    checkpoints,
  };
}

/** What made a reading's limits other ones. */
export type ReEvaluationCause =
  'moved-to-another-depot' | 'depot-low-temperature' | 'vehicle-low-temperature';

export interface NewReEvaluation extends ReEvaluationRecord {
  vehicleId: string;
  why: ReEvaluationCause;
}

/** Stores new verdicts on earlier readings. Where they lie on the vehicle's usage is stored with all else that is concluded. */
export async function insertReEvaluations(
  tx: EntityManager,
  fleetId: string,
  tokenId: string | null,
  made: NewReEvaluation[],
): Promise<void> {
  if (made.length === 0) return;
  const rows = made.map(({ at, ...record }) => ({ ...record, judgedAt: new Date(at) }));
  await tx.query(
    `insert into re_evaluations (fleet_id, id, vehicle_id, reading_id, judged_at, evaluation, limits, why, token_id)
     select $1, r.id, r."vehicleId", r."readingId", r."judgedAt", r.evaluation, r.limits, r.why, $3
     from jsonb_to_recordset($2::jsonb) as r(id uuid, "vehicleId" uuid, "readingId" uuid, "judgedAt" timestamptz, evaluation jsonb, limits jsonb, why text)`,
    [fleetId, JSON.stringify(rows), tokenId],
  );
}

const days = (from: string, to: string): number => (Date.parse(to) - Date.parse(from)) / 86_400_000;

/** The greatest number of days between opening and due, and between due and late, among some lines. */
export function horizonsOf(lines: ConcludedLine[]): { leadDays: number; graceDays: number } {
  let leadDays = 0;
  let graceDays = 0;
  for (const { windowOpensOn, dueOn, lateOn } of lines) {
    if (dueOn === NEVER) continue;
    leadDays = Math.max(leadDays, days(windowOpensOn, dueOn));
    if (lateOn !== NEVER) graceDays = Math.max(graceDays, days(dueOn, lateOn));
  }
  return { leadDays, graceDays };
}

/** What a calendar shows of a due line. */
const IN_CALENDAR = [
  ...['unit_number', 'depot_id', 'is_open', 'no_baseline', 'window_opens_on', 'due_on', 'late_on', 'trigger'],
  ...['last_done_on', 'last_done_report_id', 'postponed_until'],
];
const inCalendar = (row: string): string => `(${IN_CALENDAR.map((name) => `${row}.${name}`).join(', ')})`;
const IS_REVISED = `${inCalendar('d')} is distinct from ${inCalendar('excluded')}`;

const snake = (key: string) => key.replaceAll(/[A-Z]/g, (capital) => `_${capital.toLowerCase()}`);

/**
 * Stores the lines that are new or say something else, and closes those that no longer apply, in one statement. The fleet's greatest
 * lead and grace, which bound every read of the due list, rise with them.
 */
export async function saveLines(
  tx: EntityManager,
  fleetId: string,
  changed: StoredLine[],
  closed: string[],
): Promise<void> {
  if (changed.length === 0 && closed.length === 0) return;
  const rows = changed.map((line) =>
    Object.fromEntries(Object.entries(line).map(([key, value]) => [snake(key), value])),
  );
  const { leadDays, graceDays } = horizonsOf(changed);
  await tx.query(
    `with closing as (
       update due_lines set is_open = false, calendar_sequence = calendar_sequence + 1, revised_at = now()
       where fleet_id = $1 and id = any($3::uuid[])),
     horizons as (
       update fleets set greatest_lead_days = greatest(greatest_lead_days, $4::int), greatest_grace_days = greatest(greatest_grace_days, $5::int)
       where id = $1 and (greatest_lead_days < $4::int or greatest_grace_days < $5::int))
     insert into due_lines as d (fleet_id, id, vehicle_id, unit_number, depot_id, component, action, item, origin, origin_key, is_open, no_baseline,
       window_opens_on, due_on, late_on, late_lapses_on, late_for_good_on, earliest_on, latest_on, trigger, due_odometer_lifetime_km,
       due_engine_hours_lifetime, due_date, last_done_on, last_done_odometer_lifetime_km, last_done_engine_hours_lifetime,
       last_done_report_id, cycle, stale_on, needs_reading, postponed_until)
     select $1, r.* from jsonb_to_recordset($2::jsonb) as r(id uuid, vehicle_id uuid, unit_number text, depot_id uuid, component text, action text,
       item text, origin text, origin_key text, is_open boolean, no_baseline boolean, window_opens_on date, due_on date, late_on date,
       late_lapses_on date, late_for_good_on date, earliest_on date, latest_on date, trigger text, due_odometer_lifetime_km float8,
       due_engine_hours_lifetime float8, due_date date, last_done_on date, last_done_odometer_lifetime_km float8,
       last_done_engine_hours_lifetime float8, last_done_report_id uuid, cycle text, stale_on date, needs_reading boolean, postponed_until date)
     on conflict (fleet_id, id) do update set unit_number = excluded.unit_number, depot_id = excluded.depot_id, is_open = excluded.is_open,
       no_baseline = excluded.no_baseline, window_opens_on = excluded.window_opens_on, due_on = excluded.due_on, late_on = excluded.late_on,
       late_lapses_on = excluded.late_lapses_on, late_for_good_on = excluded.late_for_good_on, earliest_on = excluded.earliest_on,
       latest_on = excluded.latest_on, trigger = excluded.trigger, due_odometer_lifetime_km = excluded.due_odometer_lifetime_km,
       due_engine_hours_lifetime = excluded.due_engine_hours_lifetime, due_date = excluded.due_date, last_done_on = excluded.last_done_on,
       last_done_odometer_lifetime_km = excluded.last_done_odometer_lifetime_km,
       last_done_engine_hours_lifetime = excluded.last_done_engine_hours_lifetime, last_done_report_id = excluded.last_done_report_id,
       cycle = excluded.cycle, stale_on = excluded.stale_on, needs_reading = excluded.needs_reading,
       postponed_until = excluded.postponed_until,
       calendar_sequence = d.calendar_sequence + (case when ${IS_REVISED} then 1 else 0 end),
       revised_at = case when ${IS_REVISED} then now() else d.revised_at end`,
    [fleetId, JSON.stringify(rows), closed, leadDays, graceDays],
  );
}

export interface FoundAlert {
  id: string;
  /** Null for a part lot. */
  vehicleId: string | null;
  episode: LossAlertEpisode;
}

/** Stores what the loss watch found. An alert whose facts were voided stays on record, and no longer stands. */
export async function saveAlerts(
  tx: EntityManager,
  fleetId: string,
  found: FoundAlert[],
  fallen: string[],
): Promise<void> {
  if (found.length === 0 && fallen.length === 0) return;
  const rows = found.map(({ id, vehicleId, episode }) => ({ ...episode, id, vehicleId }));
  await tx.query(
    `with falling as (update loss_alerts set is_standing = false where fleet_id = $1 and id = any($3::uuid[]))
     insert into loss_alerts as a (fleet_id, id, vehicle_id, key, kind, status, raised_at, cleared_at, cleared_by, shelved_until, returned,
       members, evidence, computed, check_next, cautions, is_standing)
     select $1, r.*, true from jsonb_to_recordset($2::jsonb) as r(id uuid, "vehicleId" uuid, key text, kind text, status text, "raisedAt" timestamptz,
       "clearedAt" timestamptz, "clearedBy" text, "shelvedUntil" timestamptz, returned boolean, members jsonb, evidence jsonb, computed jsonb,
       "checkNext" jsonb, cautions jsonb)
     on conflict (fleet_id, id) do update set status = excluded.status, raised_at = excluded.raised_at, cleared_at = excluded.cleared_at,
       cleared_by = excluded.cleared_by, shelved_until = excluded.shelved_until, returned = excluded.returned, members = excluded.members,
       evidence = excluded.evidence, computed = excluded.computed, check_next = excluded.check_next, cautions = excluded.cautions, is_standing = true`,
    [fleetId, JSON.stringify(rows), fallen],
  );
}
