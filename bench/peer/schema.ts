import type pg from 'pg';

/**
 * The peer's tables, normalised only for this list: number and depot in the vehicle's row, usage
 * beside it, rates in columns, visits in a table of their own, and the index that serves the list.
 */
const TABLES = [
  `create schema peer`,
  `create table peer.fleets (id uuid primary key, time_zone text not null, units text not null, greatest_lead_days int not null)`,
  `create table peer.tokens (hash bytea primary key, fleet_id uuid not null references peer.fleets, role text not null, expires_at timestamptz, revoked_at timestamptz)`,
  `create table peer.vehicles (fleet_id uuid not null, id uuid not null, unit_number text not null, depot_id uuid, primary key (fleet_id, id))`,
  `create table peer.usage (fleet_id uuid not null, vehicle_id uuid not null, odometer_read_at timestamptz, odometer_lifetime_km float8, odometer_offset_km float8,
     km_per_day float8, engine_hours_read_at timestamptz, engine_hours_lifetime float8, engine_hours_offset float8, hours_per_day float8,
     primary key (fleet_id, vehicle_id))`,
  `create table peer.due_lines (fleet_id uuid not null, id uuid not null, vehicle_id uuid not null, component text not null, action text not null, item text,
     origin text not null, is_open boolean not null, no_baseline boolean not null, window_opens_on date not null, due_on date not null, late_on date not null,
     late_lapses_on date, late_for_good_on date, earliest_on date, latest_on date, trigger text, due_odometer_km float8, due_engine_hours float8, due_date date,
     last_done_on date, last_done_odometer_km float8, last_done_engine_hours float8, last_done_report_id uuid, stale_on date, needs_reading boolean not null,
     postponed_until date, is_at_once boolean not null, causes jsonb, is_starter boolean not null, is_released boolean not null, visit_id uuid, visit_counts_from date, primary key (fleet_id, id))`,
  `create table peer.visits (fleet_id uuid not null, id uuid not null, depot_id uuid not null, day date not null, assigned_to uuid, primary key (fleet_id, id))`,
];

const ROWS = [
  `insert into peer.fleets select id, time_zone, units, greatest_lead_days from fleets`,
  `insert into peer.tokens select hash, fleet_id, role, expires_at, revoked_at from access_tokens`,
  `insert into peer.vehicles select fleet_id, id, unit_number, depot_id from vehicles`,
  `insert into peer.usage select fleet_id, vehicle_id, odometer_read_at, odometer_lifetime_km, odometer_offset_km, (distance_rate->>'perDay')::float8,
     engine_hours_read_at, engine_hours_lifetime, engine_hours_offset, (engine_hours_rate->>'perDay')::float8 from usage_summaries`,
  `insert into peer.due_lines select fleet_id, id, vehicle_id, component, action, item, origin, is_open, no_baseline, window_opens_on, due_on, late_on,
     late_lapses_on, late_for_good_on, earliest_on, latest_on, trigger, due_odometer_lifetime_km, due_engine_hours_lifetime, due_date, last_done_on,
     last_done_odometer_lifetime_km, last_done_engine_hours_lifetime, last_done_report_id, stale_on, needs_reading, postponed_until,
     is_at_once, causes, is_starter, released_with is not null, visit_id, visit_counts_from from due_lines`,
  `insert into peer.visits select fleet_id, id, depot_id, day, assigned_to from visits`,
  `create index due_lines_due_ix on peer.due_lines (fleet_id, (not is_at_once), due_on, id) where is_open and not no_baseline`,
  `create index due_lines_vehicle_ix on peer.due_lines (fleet_id, vehicle_id)`,
  `vacuum analyze peer.fleets, peer.tokens, peer.vehicles, peer.usage, peer.due_lines, peer.visits`,
];

/** Creates the peer's tables beside the service's, and copies the same rows into them. */
export async function buildPeer(admin: pg.Client): Promise<void> {
  await admin.query('set synchronous_commit = off');
  for (const statement of [...TABLES, ...ROWS]) await admin.query(statement);
  await admin.query('reset synchronous_commit');
}
