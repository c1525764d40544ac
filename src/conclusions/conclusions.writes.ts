import type { EntityManager } from 'typeorm';
import type { LossAlertEpisode } from '../domain/loss/types.js';
import type { JudgedReading } from '../domain/usage/types.js';
import { arrayLiteral } from '../platform/database/array-literal.js';
import { forEachYielding } from '../platform/concurrency/yielding.js';
import { NEVER } from './conclude-lines.js';
import { LINE_COLUMNS, LINE_TYPES } from './due-line-columns.js';
import type {
  ConcludedLine,
  CounterConclusion,
  Position,
  ReEvaluationRecord,
  StoredLine,
} from './history.js';
import { runStatement } from '../platform/database/statement.js';

/** What makes two due lines the same one, whatever their dates. */
export function lineIdentity(line: ConcludedLine): string {
  const { component, action, item, origin, originKey } = line;
  return `${component}\n${action}\n${origin}\n${originKey}\n${item === null ? '' : `\n${item}`}`;
}

/** Usage at the time of a fact. */
export type Placed = Position & { id: string };

type CounterRow = Omit<CounterConclusion, 'rate'> & { rate: string | null };

/** A usage summary as it is stored; what is JSON is text by now. */
export interface SummaryRow {
  vehicleId: string;
  /** Whether the vehicle has none yet. */
  isNew: boolean;
  distance: CounterRow;
  engineHours: CounterRow;
  memory: string | null;
  /** Epoch milliseconds. */
  rememberedUntil: number | null;
  /** Null: those that are stored stay. */
  checkpoints: string | null;
  checkpointsUntil: number | null;
}

export interface UsageChanges {
  judged: JudgedReading[];
  summaries: SummaryRow[];
  jobs: Placed[];
  readings: Placed[];
  reEvaluations: Placed[];
}

/**
 * Stores what was concluded of usage: the standing of readings, the summaries, and where on its usage each fact lies. One statement.
 *
 * @param columns of the summaries, by `summaryColumns`
 */
export async function saveUsage(
  tx: EntityManager,
  fleetId: string,
  { judged, summaries, jobs, readings, reEvaluations }: UsageChanges,
  columns: string[],
): Promise<void> {
  const moved = [...jobs, ...readings, ...reEvaluations];
  if (judged.length + summaries.length + moved.length === 0) return;
  const placed = (facts: Placed[]) => [
    facts.map((f) => f.id),
    facts.map((f) => f.odometerLifetimeKm),
    facts.map((f) => f.engineHoursLifetime),
  ];
  await runStatement(tx, {
    name: 'save_usage',
    text: `with judged as (
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
       from unnest($27::uuid[], $28::float8[], $29::float8[]) as p(id, km, hours) where e.fleet_id = $1 and e.id = p.id),
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
     from summaries s where s.is_new`,
    values: [
      fleetId,
      judged.map((j) => j.id),
      judged.map((j) => j.status),
      judged.map((j) => j.reason),
      judged.map((j) => j.detail),
      judged.map((j) => j.odometerLifetimeKm),
      judged.map((j) => j.engineHoursLifetime),
      ...placed(jobs),
      ...placed(readings),
      ...columns,
      ...placed(reEvaluations),
      summaries.map(({ isNew }) => isNew),
    ],
  });
}

/** The values of summaries column by column. */
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
const IS_REVISED = `${inCalendar('d')} is distinct from ${inCalendar('c')}`;

/** The lines that are new, those that say something else than before, and the ids of those that no longer apply. */
export interface LineChanges {
  added: StoredLine[];
  changed: StoredLine[];
  closed: string[];
}

/** Every column of a line but its id. */
const SET = LINE_COLUMNS.filter((name) => name !== 'id');
const NAMES = LINE_COLUMNS.join(', ');

/**
 * Stores the lines that are new or say something else, and closes those that no longer apply, in one statement. The fleet's greatest
 * lead and grace, which bound every read of the due list, rise with them.
 *
 * @param columns of the lines that are added and changed, by `lineColumns`
 */
export async function saveLines(
  tx: EntityManager,
  fleetId: string,
  { added, changed, closed }: LineChanges,
  columns: string[],
): Promise<void> {
  const lines = [...added, ...changed];
  if (lines.length === 0 && closed.length === 0) return;
  const { leadDays, graceDays } = horizonsOf(lines);
  await runStatement(tx, {
    name: 'save_lines',
    text: `with closing as (
       update due_lines set is_open = false, calendar_sequence = calendar_sequence + 1, revised_at = now()
       where fleet_id = $1 and id = any($2::uuid[])),
     horizons as (
       update fleets set greatest_lead_days = greatest(greatest_lead_days, $3::int), greatest_grace_days = greatest(greatest_grace_days, $4::int)
       where id = $1 and (greatest_lead_days < $3::int or greatest_grace_days < $4::int)),
     changed as (select * from unnest($5::boolean[], ${LINE_TYPES.map((type, n) => `$${n + 6}::${type}[]`).join(', ')}) as c(is_new, ${NAMES})),
     known as (
       update due_lines d set ${SET.map((name) => `${name} = c.${name}`).join(', ')},
         calendar_sequence = d.calendar_sequence + (case when ${IS_REVISED} then 1 else 0 end),
         revised_at = case when ${IS_REVISED} then now() else d.revised_at end
       from changed c where not c.is_new and d.fleet_id = $1 and d.id = c.id)
     insert into due_lines (fleet_id, ${NAMES})
     select $1, ${LINE_COLUMNS.map((name) => `c.${name}`).join(', ')} from changed c where c.is_new`,
    values: [fleetId, closed, leadDays, graceDays, lines.map((_, n) => n < added.length), ...columns],
  });
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
  await runStatement(tx, {
    name: 'save_alerts',
    text: `with falling as (update loss_alerts set is_standing = false where fleet_id = $1 and id = any($3::uuid[]))
     insert into loss_alerts as a (fleet_id, id, vehicle_id, key, kind, status, raised_at, cleared_at, cleared_by, shelved_until, returned,
       members, evidence, computed, check_next, cautions, is_standing)
     select $1, r.*, true from jsonb_to_recordset($2::jsonb) as r(id uuid, "vehicleId" uuid, key text, kind text, status text, "raisedAt" timestamptz,
       "clearedAt" timestamptz, "clearedBy" text, "shelvedUntil" timestamptz, returned boolean, members jsonb, evidence jsonb, computed jsonb,
       "checkNext" jsonb, cautions jsonb)
     on conflict (fleet_id, id) do update set status = excluded.status, raised_at = excluded.raised_at, cleared_at = excluded.cleared_at,
       cleared_by = excluded.cleared_by, shelved_until = excluded.shelved_until, returned = excluded.returned, members = excluded.members,
       evidence = excluded.evidence, computed = excluded.computed, check_next = excluded.check_next, cautions = excluded.cautions, is_standing = true`,
    values: [fleetId, JSON.stringify(rows), fallen],
  });
}
