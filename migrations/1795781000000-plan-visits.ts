import type { MigrationInterface, QueryRunner } from 'typeorm';

const IN_SCOPE = `nullif(current_setting('app.fleet_id', true), '')::uuid`;

/**
 * SQL for a line whose visit is still valid: the line is open, at the depot of the visit, and not
 * done since the visit was planned.
 */
const VISIT_STANDS = `visit_id is not null and is_open and depot_id is not distinct from visit_depot_id
  and (last_done_report_id is null or (visit_counts_from is not null and last_done_on <= visit_counts_from))`;

const RIGHTS = {
  visit_plans: 'select, insert, update, delete',
  planned_visits: 'select, insert, update, delete',
  planned_lines: 'select, insert, update, delete',
  visits: 'select, insert, update',
  visit_lines: 'select, insert',
};

/** Only managers need plans, and a manager is never bound to depots. */
const SEEN: Record<keyof typeof RIGHTS, string> = {
  visit_plans: 'false',
  planned_visits: 'false',
  planned_lines: 'false',
  visits: 'exists (select from vehicles s where s.fleet_id = visits.fleet_id and s.id = visits.vehicle_id)',
  visit_lines:
    'exists (select from visits s where s.fleet_id = visit_lines.fleet_id and s.id = visit_lines.visit_id)',
};

const FOUND_BY_SWEEP = 'fleet_id, id, round, state';

/** Creates tables for visit plans, the visits they propose, and confirmed visits. */
export class PlanVisits1795781000000 implements MigrationInterface {
  name = 'PlanVisits1795781000000';

  async up(run: QueryRunner): Promise<void> {
    await run.query(
      `alter table depots add column working_days text array, add column closed_on text array not null default '{}'`,
    );
    await run.query('alter table spec_sheets add column labour jsonb');
    await run.query(
      'alter table due_lines add column visit_id uuid, add column visit_on date, add column visit_depot_id uuid, add column visit_counts_from date',
    );
    await run.query(
      `create index due_lines_visit_ix on due_lines (fleet_id, visit_on, visit_id) where ${VISIT_STANDS}`,
    );
    await this.createPlans(run);
    await this.createVisits(run);
    for (const [table, rights] of Object.entries(RIGHTS)) {
      await run.query(`alter table ${table} enable row level security`);
      await run.query(`alter table ${table} force row level security`);
      await run.query(
        `create policy ${table}_in_fleet on ${table} to weephole_app using (fleet_id = ${IN_SCOPE}) with check (fleet_id = ${IN_SCOPE})`,
      );
      const rule = SEEN[table as keyof typeof SEEN];
      await run.query(
        `create policy ${table}_in_depots on ${table} as restrictive to weephole_depots using (${rule}) with check (${rule})`,
      );
      await run.query(`grant ${rights} on ${table} to weephole_app`);
    }
    await run.query(
      `create policy visit_plans_swept on visit_plans for select to weephole_sweep using (true)`,
    );
    await run.query(`grant select (${FOUND_BY_SWEEP}) on visit_plans to weephole_sweep`);
    await this.createTriggers(run);
  }

  async down(run: QueryRunner): Promise<void> {
    for (const table of ['visit_lines', 'visits', 'planned_lines', 'planned_visits', 'visit_plans'])
      await run.query(`drop table ${table}`);
    await run.query('drop index due_lines_visit_ix');
    await run.query(
      'alter table due_lines drop column visit_id, drop column visit_on, drop column visit_depot_id, drop column visit_counts_from',
    );
    await run.query('alter table spec_sheets drop column labour');
    await run.query('alter table depots drop column working_days, drop column closed_on');
  }

  private async createPlans(run: QueryRunner): Promise<void> {
    await run.query(`create table visit_plans (
      fleet_id uuid not null,
      id uuid not null,
      from_on date not null,
      to_on date not null,
      depot_ids uuid array,
      labour_rate double precision not null,
      downtime_cost_per_day double precision not null,
      lateness_cost_per_day double precision not null,
      state text not null,
      round integer not null default 1,
      attempts integer not null default 0,
      requested_at timestamptz not null,
      solved_at timestamptz,
      confirmed_at timestamptz,
      depots jsonb not null default '[]',
      cost_on_due_days jsonb,
      bound double precision,
      changed_since_solved boolean not null default false,
      problem text,
      token_id uuid,
      version integer not null default 1,
      constraint visit_plans_pk primary key (fleet_id, id),
      constraint visit_plans_fleet_fk foreign key (fleet_id) references fleets (id),
      constraint visit_plans_state_ck check (state in ('waiting', 'solving', 'solved', 'failed', 'confirmed')),
      constraint visit_plans_order_ck check (from_on <= to_on)
    )`);
    await run.query(
      `create index visit_plans_waiting_ix on visit_plans (fleet_id, id) where state in ('waiting', 'solving')`,
    );
    await run.query(`create table planned_visits (
      fleet_id uuid not null,
      id uuid not null,
      visit_plan_id uuid not null,
      vehicle_id uuid not null,
      depot_id uuid not null,
      day date not null,
      hours double precision not null,
      cost jsonb not null,
      is_pinned boolean not null default false,
      is_dropped boolean not null default false,
      version integer not null default 1,
      constraint planned_visits_pk primary key (fleet_id, id),
      constraint planned_visits_plan_fk foreign key (fleet_id, visit_plan_id) references visit_plans (fleet_id, id) on delete cascade,
      constraint planned_visits_vehicle_fk foreign key (fleet_id, vehicle_id) references vehicles (fleet_id, id),
      constraint planned_visits_depot_fk foreign key (fleet_id, depot_id) references depots (fleet_id, id)
    )`);
    await run.query(
      'create index planned_visits_plan_ix on planned_visits (fleet_id, visit_plan_id, day, id)',
    );
    await run.query('create index planned_visits_vehicle_ix on planned_visits (fleet_id, vehicle_id)');
    await run.query('create index planned_visits_depot_ix on planned_visits (fleet_id, depot_id)');
    await run.query(`create table planned_lines (
      fleet_id uuid not null,
      visit_plan_id uuid not null,
      due_line_id uuid not null,
      vehicle_id uuid not null,
      planned_visit_id uuid,
      reason text,
      cost jsonb,
      window_opens_on date not null,
      due_on date not null,
      late_on date not null,
      counts_from date,
      labour jsonb not null,
      constraint planned_lines_pk primary key (fleet_id, visit_plan_id, due_line_id),
      constraint planned_lines_plan_fk foreign key (fleet_id, visit_plan_id) references visit_plans (fleet_id, id) on delete cascade,
      constraint planned_lines_visit_fk foreign key (fleet_id, planned_visit_id) references planned_visits (fleet_id, id) on delete cascade,
      constraint planned_lines_vehicle_fk foreign key (fleet_id, vehicle_id) references vehicles (fleet_id, id),
      constraint planned_lines_due_line_fk foreign key (fleet_id, due_line_id) references due_lines (fleet_id, id),
      constraint planned_lines_left_ck check ((planned_visit_id is null) = (reason is not null))
    )`);
    await run.query('create index planned_lines_visit_ix on planned_lines (fleet_id, planned_visit_id)');
    await run.query('create index planned_lines_vehicle_ix on planned_lines (fleet_id, vehicle_id)');
    await run.query('create index planned_lines_due_line_ix on planned_lines (fleet_id, due_line_id)');
  }

  private async createVisits(run: QueryRunner): Promise<void> {
    await run.query(`create table visits (
      fleet_id uuid not null,
      id uuid not null,
      visit_plan_id uuid not null,
      vehicle_id uuid not null,
      depot_id uuid not null,
      day date not null,
      hours double precision not null,
      confirmed_at timestamptz not null,
      cancelled_at timestamptz,
      cancel_reason text,
      version integer not null default 1,
      constraint visits_pk primary key (fleet_id, id),
      constraint visits_plan_fk foreign key (fleet_id, visit_plan_id) references visit_plans (fleet_id, id),
      constraint visits_vehicle_fk foreign key (fleet_id, vehicle_id) references vehicles (fleet_id, id),
      constraint visits_depot_fk foreign key (fleet_id, depot_id) references depots (fleet_id, id),
      constraint visits_cancel_ck check ((cancelled_at is null) = (cancel_reason is null))
    )`);
    await run.query('create index visits_day_ix on visits (fleet_id, day, id) where cancelled_at is null');
    await run.query(
      'create index visits_cancelled_ix on visits (fleet_id, day, id) where cancelled_at is not null',
    );
    await run.query('create index visits_vehicle_ix on visits (fleet_id, vehicle_id, day, id)');
    await run.query('create index visits_depot_ix on visits (fleet_id, depot_id, day, id)');
    await run.query('create index visits_plan_ix on visits (fleet_id, visit_plan_id)');
    await run.query(`create table visit_lines (
      fleet_id uuid not null,
      visit_id uuid not null,
      due_line_id uuid not null,
      due_on date not null,
      counts_from date,
      hours double precision not null,
      constraint visit_lines_pk primary key (fleet_id, visit_id, due_line_id),
      constraint visit_lines_visit_fk foreign key (fleet_id, visit_id) references visits (fleet_id, id),
      constraint visit_lines_due_line_fk foreign key (fleet_id, due_line_id) references due_lines (fleet_id, id)
    )`);
    await run.query('create index visit_lines_due_line_ix on visit_lines (fleet_id, due_line_id)');
  }

  private async createTriggers(run: QueryRunner): Promise<void> {
    await run.query(`create trigger visit_plans_received after insert on visit_plans
      for each row execute function record_event('visit-plan', 'id', 'created', '{from_on,to_on,depot_ids,labour_rate,downtime_cost_per_day,lateness_cost_per_day}')`);
    await run.query(`create trigger visit_plans_recorded after update of confirmed_at on visit_plans
      for each row when (old.confirmed_at is distinct from new.confirmed_at)
      execute function record_event('visit-plan', 'id', 'confirmed', '{from_on,to_on}')`);
    await run.query(`create trigger visits_recorded after update of cancelled_at on visits
      for each row when (old.cancelled_at is distinct from new.cancelled_at)
      execute function record_event('visit', 'id', 'cancelled', '{cancel_reason}')`);
  }
}
