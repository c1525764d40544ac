import type { MigrationInterface, QueryRunner } from 'typeorm';

/** Tables with rows of fleets: each has `fleet_id` in every key, and one policy. */
const TENANT_TABLES = [
  'fleet_changes',
  'depots',
  'interval_plans',
  'spec_sheets',
  'vehicles',
  'vehicle_assignments',
  'due_lines',
  'completions',
  'postponements',
  'job_reports',
  'job_lines',
  'loss_alerts',
  'loss_alert_actions',
  'loss_cohorts',
  'idempotency_records',
  'readings',
  're_evaluations',
  'reminder_targets',
  'reminders',
  'reminder_attempts',
  'fleet_sweeps',
  'access_tokens',
  'usage_readings',
  'usage_summaries',
];

/** Append-only tables: the service adds rows, and never changes or deletes what has happened. */
const APPEND_ONLY = [
  'usage_readings',
  'job_reports',
  'job_lines',
  'readings',
  're_evaluations',
  'postponements',
  'loss_alerts',
  'loss_alert_actions',
];

const IN_SCOPE = `nullif(current_setting('app.fleet_id', true), '')::uuid`;

export class CreateSchema1795600000000 implements MigrationInterface {
  name = 'CreateSchema1795600000000';

  async up(run: QueryRunner): Promise<void> {
    await this.createTables(run);
    await this.createIndexes(run);
    await this.secureRows(run);
    await this.createFunctions(run);
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query('drop function token_holder(bytea)');
    await run.query('drop function create_fleet(uuid, text, text, text, uuid, text, bytea)');
    await run.query(`drop table ${[...TENANT_TABLES, 'fleets'].join(', ')} cascade`);
  }

  private async createTables(run: QueryRunner): Promise<void> {
    await run.query(`create table fleets (
      id uuid not null,
      name text not null,
      time_zone text not null,
      units text not null,
      practice jsonb not null default '{}',
      greatest_lead_days integer not null default 0,
      greatest_grace_days integer not null default 0,
      version integer not null default 1,
      created_at timestamptz not null default now(),
      constraint fleets_units_ck check (units in ('us', 'si')),
      constraint fleets_pk primary key (id)
    )`);
    await run.query(`create table fleet_changes (
      fleet_id uuid not null,
      number bigint not null default 0,
      constraint fleet_changes_pk primary key (fleet_id)
    )`);
    await run.query(`create table depots (
      fleet_id uuid not null,
      id uuid not null,
      name text not null,
      elevation_m double precision,
      design_low_temperature_c double precision,
      labour_hours_per_day double precision,
      version integer not null default 1,
      constraint depots_name_uq unique (fleet_id, name),
      constraint depots_pk primary key (fleet_id, id)
    )`);
    await run.query(`create table interval_plans (
      fleet_id uuid not null,
      id uuid not null,
      name text not null,
      intervals jsonb not null default '[]',
      version integer not null default 1,
      constraint interval_plans_name_uq unique (fleet_id, name),
      constraint interval_plans_pk primary key (fleet_id, id)
    )`);
    await run.query(`create table spec_sheets (
      fleet_id uuid not null,
      id uuid not null,
      name text not null,
      circuit text,
      coolant_base text not null,
      coolant_technology text,
      capacity_l double precision not null,
      drainable_l double precision,
      target_strength_percent double precision,
      strength_max_percent double precision,
      cap_rating_kpa double precision,
      max_test_pressure_kpa double precision,
      hold_test_method text,
      hold_test_target_kpa double precision,
      hold_test_minutes double precision,
      hold_test_allowed_loss_kpa double precision,
      fasteners jsonb not null default '[]',
      belts jsonb not null default '[]',
      hoses text array not null default '{}',
      parts jsonb not null default '[]',
      version integer not null default 1,
      constraint spec_sheets_name_uq unique (fleet_id, name),
      constraint spec_sheets_capacity_ck check (capacity_l > 0),
      constraint spec_sheets_base_ck check (coolant_base in ('ethylene-glycol', 'propylene-glycol')),
      constraint spec_sheets_pk primary key (fleet_id, id)
    )`);
    await run.query(`create table vehicles (
      fleet_id uuid not null,
      id uuid not null,
      unit_number text not null,
      depot_id uuid,
      spec_sheet_id uuid,
      interval_plan_id uuid,
      duty text not null,
      status text not null,
      vin text,
      make text,
      model text,
      model_year integer,
      mounted_on uuid,
      in_use_months integer array,
      in_service_on date,
      in_service_odometer_km double precision,
      in_service_engine_hours double precision,
      expected_daily_km double precision,
      expected_daily_hours double precision,
      design_low_temperature_c double precision,
      version integer not null default 1,
      created_at timestamptz not null default now(),
      constraint vehicles_vin_uq unique (fleet_id, vin),
      constraint vehicles_unit_number_uq unique (fleet_id, unit_number),
      constraint vehicles_status_ck check (status in ('in-use', 'laid-up', 'disposed')),
      constraint vehicles_duty_ck check (duty in ('normal', 'severe')),
      constraint vehicles_pk primary key (fleet_id, id)
    )`);
    await run.query(`create index vehicles_interval_plan_ix on vehicles (fleet_id, interval_plan_id, id)`);
    await run.query(`create index vehicles_spec_sheet_ix on vehicles (fleet_id, spec_sheet_id, id)`);
    await run.query(`create index vehicles_depot_ix on vehicles (fleet_id, depot_id, id)`);
    await run.query(
      `create index vehicles_mounted_on_ix on vehicles (fleet_id, mounted_on) where mounted_on is not null`,
    );
    await run.query(`create table vehicle_assignments (
      fleet_id uuid not null,
      id uuid not null,
      vehicle_id uuid not null,
      effective_on date not null,
      depot_id uuid,
      duty text not null,
      spec_sheet_id uuid,
      interval_plan_id uuid,
      status text not null,
      token_id uuid,
      recorded_at timestamptz not null default now(),
      constraint vehicle_assignments_pk primary key (fleet_id, id)
    )`);
    await run.query(
      `create index vehicle_assignments_vehicle_ix on vehicle_assignments (fleet_id, vehicle_id, effective_on, id)`,
    );
    await run.query(`create table due_lines (
      fleet_id uuid not null,
      id uuid not null,
      vehicle_id uuid not null,
      unit_number text not null,
      depot_id uuid,
      component text not null,
      action text not null,
      item text,
      origin text not null,
      origin_key text not null default '',
      is_open boolean not null default true,
      no_baseline boolean not null default false,
      window_opens_on date not null,
      due_on date not null,
      late_on date not null,
      late_lapses_on date,
      late_for_good_on date,
      earliest_on date,
      latest_on date,
      trigger text,
      due_odometer_lifetime_km double precision,
      due_engine_hours_lifetime double precision,
      due_date date,
      last_done_on date,
      last_done_odometer_lifetime_km double precision,
      last_done_engine_hours_lifetime double precision,
      last_done_report_id uuid,
      cycle text not null,
      stale_on date,
      needs_reading boolean not null default false,
      postponed_until date,
      constraint due_lines_order_ck check (window_opens_on <= due_on and due_on <= late_on),
      constraint due_lines_origin_ck check (origin in ('interval', 'follow-up')),
      constraint due_lines_pk primary key (fleet_id, id)
    )`);
    await run.query(
      `create index due_lines_no_baseline_ix on due_lines (fleet_id, due_on, id, component, depot_id, action) where is_open and no_baseline`,
    );
    await run.query(
      `create index due_lines_lapsing_ix on due_lines (fleet_id, due_on, id) where is_open and not no_baseline and (late_on = 'infinity' or late_lapses_on is not null)`,
    );
    await run.query(`create index due_lines_vehicle_ix on due_lines (fleet_id, vehicle_id, due_on, id)`);
    await run.query(
      `create index due_lines_component_ix on due_lines (fleet_id, component, due_on, id, window_opens_on, late_on, depot_id, action) where is_open and not no_baseline`,
    );
    await run.query(
      `create index due_lines_depot_ix on due_lines (fleet_id, depot_id, due_on, id, window_opens_on, late_on, action) where is_open and not no_baseline`,
    );
    await run.query(
      `create index due_lines_due_ix on due_lines (fleet_id, due_on, id, window_opens_on, late_on, action) where is_open and not no_baseline`,
    );
    await run.query(`create table completions (
      fleet_id uuid not null,
      job_report_id uuid not null,
      due_line_id uuid not null,
      performed_on date not null,
      window_opens_on date not null,
      due_on date not null,
      late_on date not null,
      voided boolean not null default false,
      constraint completions_pk primary key (fleet_id, job_report_id, due_line_id)
    )`);
    await run.query(`create index completions_due_line_ix on completions (fleet_id, due_line_id)`);
    await run.query(`create index completions_performed_ix on completions (fleet_id, performed_on)`);
    await run.query(`create table postponements (
      fleet_id uuid not null,
      id uuid not null,
      vehicle_id uuid not null,
      due_line_id uuid not null,
      cycle text not null,
      reason text not null,
      token_id uuid,
      at timestamptz not null,
      until_on date not null,
      until_odometer_lifetime_km double precision,
      until_engine_hours_lifetime double precision,
      old_due_on date not null,
      old_due_date date,
      old_due_odometer_lifetime_km double precision,
      old_due_engine_hours_lifetime double precision,
      new_due_on date not null,
      constraint postponements_once_uq unique (fleet_id, due_line_id, cycle),
      constraint postponements_pk primary key (fleet_id, id)
    )`);
    await run.query(`create index postponements_vehicle_ix on postponements (fleet_id, vehicle_id, at, id)`);
    await run.query(`create table job_reports (
      fleet_id uuid not null,
      id uuid not null,
      vehicle_id uuid not null,
      performed_at timestamptz not null,
      sent_at timestamptz,
      performed_by text,
      odometer_km double precision,
      engine_hours double precision,
      elevation_m double precision,
      worked_at_depot_id uuid,
      released_for_service text,
      notes text,
      is_baseline boolean not null default false,
      content_hash bytea not null,
      outcome jsonb,
      odometer_lifetime_km double precision,
      engine_hours_lifetime double precision,
      voided_at timestamptz,
      void_reason text,
      token_id uuid,
      received_at timestamptz not null default now(),
      constraint job_reports_void_ck check ((voided_at is null) = (void_reason is null)),
      constraint job_reports_pk primary key (fleet_id, id)
    )`);
    await run.query(`create index job_reports_performed_ix on job_reports (fleet_id, performed_at, id)`);
    await run.query(
      `create index job_reports_depot_ix on job_reports (fleet_id, worked_at_depot_id) where worked_at_depot_id is not null`,
    );
    await run.query(
      `create index job_reports_vehicle_ix on job_reports (fleet_id, vehicle_id, performed_at, id)`,
    );
    await run.query(`create table job_lines (
      fleet_id uuid not null,
      job_report_id uuid not null,
      position integer not null,
      vehicle_id uuid not null,
      component text not null,
      action text not null,
      item text,
      part_number text,
      lot text,
      finding text,
      failed boolean not null default false,
      constraint job_lines_pk primary key (fleet_id, job_report_id, position)
    )`);
    await run.query(`create index job_lines_vehicle_ix on job_lines (fleet_id, vehicle_id, job_report_id)`);
    await run.query(`create table loss_alerts (
      fleet_id uuid not null,
      id uuid not null,
      vehicle_id uuid,
      key text not null,
      kind text not null,
      status text not null,
      raised_at timestamptz not null,
      cleared_at timestamptz,
      cleared_by text,
      shelved_until timestamptz,
      returned boolean not null default false,
      members jsonb not null default '[]',
      evidence jsonb not null,
      computed jsonb not null,
      check_next jsonb not null,
      cautions jsonb not null,
      is_standing boolean not null default true,
      constraint loss_alerts_status_ck check (status in ('raised', 'acknowledged', 'shelved', 'cleared')),
      constraint loss_alerts_pk primary key (fleet_id, id)
    )`);
    await run.query(`create index loss_alerts_raised_ix on loss_alerts (fleet_id, raised_at, id)`);
    await run.query(
      `create index loss_alerts_open_ix on loss_alerts (fleet_id, raised_at, id) where is_standing and status <> 'cleared'`,
    );
    await run.query(`create table loss_alert_actions (
      fleet_id uuid not null,
      id uuid not null,
      alert_id uuid not null,
      at timestamptz not null,
      action text not null,
      until timestamptz,
      note text,
      token_id uuid,
      constraint loss_alert_actions_action_ck check (action in ('acknowledge', 'shelve', 'clear')),
      constraint loss_alert_actions_pk primary key (fleet_id, id)
    )`);
    await run.query(
      `create index loss_alert_actions_alert_ix on loss_alert_actions (fleet_id, alert_id, at)`,
    );
    await run.query(`create table loss_cohorts (
      fleet_id uuid not null,
      spec_sheet_id uuid not null,
      mu0 double precision not null,
      sigma double precision not null,
      vehicles integer not null,
      computed_at timestamptz not null,
      constraint loss_cohorts_pk primary key (fleet_id, spec_sheet_id)
    )`);
    await run.query(`create table idempotency_records (
      fleet_id uuid not null,
      operation text not null,
      key text not null,
      request_hash bytea not null,
      status integer not null,
      body jsonb,
      created_at timestamptz not null default now(),
      constraint idempotency_records_pk primary key (fleet_id, operation, key)
    )`);
    await run.query(`create index idempotency_records_age_ix on idempotency_records (fleet_id, created_at)`);
    await run.query(`create table readings (
      fleet_id uuid not null,
      id uuid not null,
      vehicle_id uuid not null,
      job_report_id uuid,
      position integer,
      kind text not null,
      taken_at timestamptz not null,
      odometer_km double precision,
      engine_hours double precision,
      odometer_lifetime_km double precision,
      engine_hours_lifetime double precision,
      typed jsonb not null,
      canonical jsonb not null,
      evaluation jsonb not null,
      limits jsonb not null,
      voided_at timestamptz,
      token_id uuid,
      received_at timestamptz not null default now(),
      constraint readings_pk primary key (fleet_id, id)
    )`);
    await run.query(
      `create index readings_job_report_ix on readings (fleet_id, job_report_id, position) where job_report_id is not null`,
    );
    await run.query(
      `create index readings_alone_ix on readings (fleet_id, vehicle_id, taken_at, id) where job_report_id is null`,
    );
    await run.query(`create index readings_vehicle_ix on readings (fleet_id, vehicle_id, taken_at, id)`);
    await run.query(`create table re_evaluations (
      fleet_id uuid not null,
      id uuid not null,
      vehicle_id uuid not null,
      reading_id uuid not null,
      judged_at timestamptz not null,
      evaluation jsonb not null,
      limits jsonb not null,
      why text not null,
      odometer_lifetime_km double precision,
      engine_hours_lifetime double precision,
      token_id uuid,
      constraint re_evaluations_why_ck check (why in ('moved-to-another-depot', 'depot-low-temperature', 'vehicle-low-temperature')),
      constraint re_evaluations_pk primary key (fleet_id, id)
    )`);
    await run.query(
      `create index re_evaluations_vehicle_ix on re_evaluations (fleet_id, vehicle_id, judged_at, id)`,
    );
    await run.query(
      `create index re_evaluations_reading_ix on re_evaluations (fleet_id, reading_id, judged_at)`,
    );
    await run.query(`create table reminder_targets (
      fleet_id uuid not null,
      id uuid not null,
      kind text not null,
      address text not null,
      hears text array not null,
      stages text array not null,
      repeat_late_days integer,
      depot_ids uuid array not null default '{}',
      components text array not null default '{}',
      digest text not null,
      send_from text,
      send_to text,
      secret text,
      disabled_at timestamptz,
      disabled_reason text,
      removed_at timestamptz,
      version integer not null default 1,
      created_at timestamptz not null default now(),
      constraint reminder_targets_kind_ck check (kind in ('webhook', 'email')),
      constraint reminder_targets_pk primary key (fleet_id, id)
    )`);
    await run.query(`create table reminders (
      fleet_id uuid not null,
      id uuid not null,
      target_id uuid not null,
      due_line_id uuid not null,
      cycle text not null,
      stage text not null,
      status text not null,
      body text,
      attempts integer not null default 0,
      next_attempt_at timestamptz not null,
      sent_at timestamptz,
      created_at timestamptz not null,
      constraint reminders_once_uq unique (fleet_id, due_line_id, cycle, stage, target_id),
      constraint reminders_status_ck check (status in ('waiting', 'sent', 'undelivered', 'withdrawn', 'superseded')),
      constraint reminders_stage_ck check (stage in ('window', 'due', 'late')),
      constraint reminders_pk primary key (fleet_id, id)
    )`);
    await run.query(
      `create index reminders_waiting_ix on reminders (next_attempt_at, fleet_id, id) where status = 'waiting'`,
    );
    await run.query(`create index reminders_status_ix on reminders (fleet_id, status, created_at, id)`);
    await run.query(`create index reminders_target_ix on reminders (fleet_id, target_id, created_at, id)`);
    await run.query(`create index reminders_created_ix on reminders (fleet_id, created_at, id)`);
    await run.query(`create table reminder_attempts (
      fleet_id uuid not null,
      reminder_id uuid not null,
      number integer not null,
      at timestamptz not null,
      http_status integer,
      duration_ms integer not null,
      error text,
      answer text,
      constraint reminder_attempts_pk primary key (fleet_id, reminder_id, number)
    )`);
    await run.query(`create table fleet_sweeps (
      fleet_id uuid not null,
      swept_on date,
      cohorts_on date,
      constraint fleet_sweeps_pk primary key (fleet_id)
    )`);
    await run.query(`create table access_tokens (
      fleet_id uuid not null,
      id uuid not null,
      name text not null,
      role text not null,
      hash bytea not null,
      created_at timestamptz not null default now(),
      expires_at timestamptz,
      revoked_at timestamptz,
      constraint access_tokens_hash_uq unique (hash),
      constraint access_tokens_role_ck check (role in ('manager', 'mechanic', 'dashboard', 'calendar')),
      constraint access_tokens_pk primary key (fleet_id, id)
    )`);
    await run.query(`create table usage_readings (
      fleet_id uuid not null,
      id uuid not null,
      vehicle_id uuid not null,
      read_at timestamptz not null,
      odometer_km double precision,
      engine_hours double precision,
      odometer_replaced boolean not null default false,
      engine_hours_replaced boolean not null default false,
      source text not null,
      odometer_unit text,
      job_report_id uuid,
      status text not null,
      reason text,
      detail text,
      held_at_arrival text,
      decision text,
      decided_at timestamptz,
      odometer_lifetime_km double precision,
      engine_hours_lifetime double precision,
      token_id uuid,
      recorded_at timestamptz not null default now(),
      constraint usage_readings_status_ck check (status in ('accepted', 'held', 'discarded', 'voided', 'duplicate')),
      constraint usage_readings_positive_ck check (coalesce(odometer_km, 0) >= 0 and coalesce(engine_hours, 0) >= 0),
      constraint usage_readings_counter_ck check (odometer_km is not null or engine_hours is not null),
      constraint usage_readings_pk primary key (fleet_id, id)
    )`);
    await run.query(
      `create index usage_readings_job_report_ix on usage_readings (fleet_id, job_report_id) where job_report_id is not null`,
    );
    await run.query(
      `create index usage_readings_held_ix on usage_readings (fleet_id, read_at, id) where status = 'held'`,
    );
    await run.query(
      `create index usage_readings_notable_ix on usage_readings (fleet_id, vehicle_id, read_at, id) where status in ('held', 'discarded', 'voided') or odometer_replaced or engine_hours_replaced`,
    );
    await run.query(
      `create index usage_readings_time_ix on usage_readings (fleet_id, vehicle_id, read_at, id)`,
    );
    await run.query(`create table usage_summaries (
      fleet_id uuid not null,
      vehicle_id uuid not null,
      odometer_read_at timestamptz,
      odometer_lifetime_km double precision,
      odometer_offset_km double precision,
      engine_hours_read_at timestamptz,
      engine_hours_lifetime double precision,
      engine_hours_offset double precision,
      distance_rate jsonb,
      engine_hours_rate jsonb,
      checkpoints jsonb not null default '[]',
      constraint usage_summaries_pk primary key (fleet_id, vehicle_id)
    )`);
    await run.query(
      `alter table depots add constraint depots_fleet_fk foreign key (fleet_id) references fleets(id)`,
    );
    await run.query(
      `alter table interval_plans add constraint interval_plans_fleet_fk foreign key (fleet_id) references fleets(id)`,
    );
    await run.query(
      `alter table spec_sheets add constraint spec_sheets_fleet_fk foreign key (fleet_id) references fleets(id)`,
    );
    await run.query(
      `alter table vehicles add constraint vehicles_mounted_on_fk foreign key (fleet_id, mounted_on) references vehicles(fleet_id,id)`,
    );
    await run.query(
      `alter table vehicles add constraint vehicles_interval_plan_fk foreign key (fleet_id, interval_plan_id) references interval_plans(fleet_id,id)`,
    );
    await run.query(
      `alter table vehicles add constraint vehicles_spec_sheet_fk foreign key (fleet_id, spec_sheet_id) references spec_sheets(fleet_id,id)`,
    );
    await run.query(
      `alter table vehicles add constraint vehicles_depot_fk foreign key (fleet_id, depot_id) references depots(fleet_id,id)`,
    );
    await run.query(
      `alter table vehicles add constraint vehicles_fleet_fk foreign key (fleet_id) references fleets(id)`,
    );
    await run.query(
      `alter table vehicle_assignments add constraint vehicle_assignments_vehicle_fk foreign key (fleet_id, vehicle_id) references vehicles(fleet_id,id)`,
    );
    await run.query(
      `alter table due_lines add constraint due_lines_vehicle_fk foreign key (fleet_id, vehicle_id) references vehicles(fleet_id,id)`,
    );
    await run.query(
      `alter table completions add constraint completions_due_line_fk foreign key (fleet_id, due_line_id) references due_lines(fleet_id,id)`,
    );
    await run.query(
      `alter table postponements add constraint postponements_due_line_fk foreign key (fleet_id, due_line_id) references due_lines(fleet_id,id)`,
    );
    await run.query(
      `alter table postponements add constraint postponements_vehicle_fk foreign key (fleet_id, vehicle_id) references vehicles(fleet_id,id)`,
    );
    await run.query(
      `alter table job_reports add constraint job_reports_depot_fk foreign key (fleet_id, worked_at_depot_id) references depots(fleet_id,id)`,
    );
    await run.query(
      `alter table job_reports add constraint job_reports_vehicle_fk foreign key (fleet_id, vehicle_id) references vehicles(fleet_id,id)`,
    );
    await run.query(
      `alter table job_lines add constraint job_lines_vehicle_fk foreign key (fleet_id, vehicle_id) references vehicles(fleet_id,id)`,
    );
    await run.query(
      `alter table job_lines add constraint job_lines_job_report_fk foreign key (fleet_id, job_report_id) references job_reports(fleet_id,id)`,
    );
    await run.query(
      `alter table loss_alerts add constraint loss_alerts_vehicle_fk foreign key (fleet_id, vehicle_id) references vehicles(fleet_id,id)`,
    );
    await run.query(
      `alter table loss_alert_actions add constraint loss_alert_actions_alert_fk foreign key (fleet_id, alert_id) references loss_alerts(fleet_id,id)`,
    );
    await run.query(
      `alter table loss_cohorts add constraint loss_cohorts_spec_sheet_fk foreign key (fleet_id, spec_sheet_id) references spec_sheets(fleet_id,id) on delete cascade`,
    );
    await run.query(
      `alter table readings add constraint readings_job_report_fk foreign key (fleet_id, job_report_id) references job_reports(fleet_id,id)`,
    );
    await run.query(
      `alter table readings add constraint readings_vehicle_fk foreign key (fleet_id, vehicle_id) references vehicles(fleet_id,id)`,
    );
    await run.query(
      `alter table re_evaluations add constraint re_evaluations_reading_fk foreign key (fleet_id, reading_id) references readings(fleet_id,id)`,
    );
    await run.query(
      `alter table re_evaluations add constraint re_evaluations_vehicle_fk foreign key (fleet_id, vehicle_id) references vehicles(fleet_id,id)`,
    );
    await run.query(
      `alter table reminder_targets add constraint reminder_targets_fleet_fk foreign key (fleet_id) references fleets(id)`,
    );
    await run.query(
      `alter table reminders add constraint reminders_due_line_fk foreign key (fleet_id, due_line_id) references due_lines(fleet_id,id)`,
    );
    await run.query(
      `alter table reminders add constraint reminders_target_fk foreign key (fleet_id, target_id) references reminder_targets(fleet_id,id)`,
    );
    await run.query(
      `alter table reminder_attempts add constraint reminder_attempts_reminder_fk foreign key (fleet_id, reminder_id) references reminders(fleet_id,id)`,
    );
    await run.query(
      `alter table fleet_sweeps add constraint fleet_sweeps_fleet_fk foreign key (fleet_id) references fleets(id)`,
    );
    await run.query(
      `alter table access_tokens add constraint access_tokens_fleet_fk foreign key (fleet_id) references fleets(id)`,
    );
    await run.query(
      `alter table usage_readings add constraint usage_readings_job_report_fk foreign key (fleet_id, job_report_id) references job_reports(fleet_id,id)`,
    );
    await run.query(
      `alter table usage_readings add constraint usage_readings_vehicle_fk foreign key (fleet_id, vehicle_id) references vehicles(fleet_id,id)`,
    );
    await run.query(
      `alter table usage_summaries add constraint usage_summaries_vehicle_fk foreign key (fleet_id, vehicle_id) references vehicles(fleet_id,id)`,
    );
  }

  /** Creates what an entity cannot express. */
  private async createIndexes(run: QueryRunner): Promise<void> {
    // The same vehicle, instant and values again is a duplicate, however often it is sent.
    await run.query(`create unique index usage_readings_once_uq on usage_readings (fleet_id, vehicle_id, read_at, odometer_km, engine_hours)
      nulls not distinct where job_report_id is null`);
    await run.query(`create unique index due_lines_what_uq on due_lines (fleet_id, vehicle_id, component, action, item, origin, origin_key)
      nulls not distinct`);
    await run.query(
      `create unique index loss_alerts_key_uq on loss_alerts (fleet_id, vehicle_id, key) nulls not distinct`,
    );
  }

  private async secureRows(run: QueryRunner): Promise<void> {
    for (const table of [...TENANT_TABLES, 'fleets']) {
      const column = table === 'fleets' ? 'id' : 'fleet_id';
      await run.query(`alter table ${table} enable row level security`);
      await run.query(`alter table ${table} force row level security`);
      await run.query(
        `create policy ${table}_in_fleet on ${table} to weephole_app using (${column} = ${IN_SCOPE}) with check (${column} = ${IN_SCOPE})`,
      );
      const rights = APPEND_ONLY.includes(table)
        ? 'select, insert, update'
        : 'select, insert, update, delete';
      await run.query(`grant ${table === 'fleets' ? 'select, update' : rights} on ${table} to weephole_app`);
    }
    // The sweep looks across fleets for work to queue, and for the holder of a token. It changes
    // nothing.
    for (const table of ['fleets', 'fleet_sweeps', 'access_tokens', 'reminders', 'reminder_targets']) {
      await run.query(`create policy ${table}_swept on ${table} for select to weephole_sweep using (true)`);
      await run.query(`grant select on ${table} to weephole_sweep`);
    }
    // The functions below read these two tables before any fleet is in scope. They run as the
    // owner, to whom a forced policy applies as well.
    for (const table of ['fleets', 'access_tokens']) {
      await run.query(
        `create policy ${table}_owned on ${table} to weephole_owner using (true) with check (true)`,
      );
    }
  }

  private async createFunctions(run: QueryRunner): Promise<void> {
    await run.query(`create function token_holder(token_hash bytea)
      returns table (fleet_id uuid, token_id uuid, role text, time_zone text, units text, expires_at timestamptz)
      language sql stable security definer set search_path = public, pg_temp
      as $$
        select t.fleet_id, t.id, t.role, f.time_zone, f.units, t.expires_at
        from access_tokens t join fleets f on f.id = t.fleet_id
        where t.hash = token_hash and t.revoked_at is null
      $$`);
    await run.query(`create function create_fleet(fleet uuid, fleet_name text, zone text, unit_system text, token uuid, token_name text, token_hash bytea)
      returns void language sql volatile security definer set search_path = public, pg_temp
      as $$
        insert into fleets (id, name, time_zone, units) values (fleet, fleet_name, zone, unit_system);
        insert into access_tokens (fleet_id, id, name, role, hash) values (fleet, token, token_name, 'manager', token_hash);
      $$`);
    for (const signature of [
      'token_holder(bytea)',
      'create_fleet(uuid, text, text, text, uuid, text, bytea)',
    ]) {
      await run.query(`revoke all on function ${signature} from public`);
      await run.query(`grant execute on function ${signature} to weephole_app`);
    }
  }
}
