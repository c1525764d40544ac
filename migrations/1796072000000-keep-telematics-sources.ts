import type { MigrationInterface, QueryRunner } from 'typeorm';

const IN_SCOPE = `fleet_id = nullif(current_setting('app.fleet_id', true), '')::uuid`;
const ENTERED = `fleet_id = nullif(current_setting('app.entered_fleet_id', true), '')::uuid`;

/** How polling goes, which nobody decides. The audit leaves it out. */
const POLLING = [
  'next_poll_at',
  'polled_until',
  'resume_at',
  'complete_since',
  'failures',
  'failing_since',
  'failure',
  'last_success_at',
  'newest_at',
  'last_intake',
];

/** All that the sweep sees: which sources are due. */
const FOUND_BY_SWEEP = 'fleet_id, id, kind, paused_at, next_poll_at, polled_until';

/** Creates the tables for telematics sources and the machines that they name. */
export class KeepTelematicsSources1796072000000 implements MigrationInterface {
  name = 'KeepTelematicsSources1796072000000';

  async up(run: QueryRunner): Promise<void> {
    await this.createSources(run);
    await this.createMachines(run);
    for (const table of ['telematics_sources', 'telematics_machines']) await this.restrict(run, table);
    await run.query(
      'create policy telematics_sources_swept on telematics_sources for select to weephole_sweep using (true)',
    );
    await run.query(`grant select (${FOUND_BY_SWEEP}) on telematics_sources to weephole_sweep`);
    await this.record(run);
    await run.query(
      'create index vehicles_serial_number_ix on vehicles (fleet_id, serial_number) where serial_number is not null',
    );
    await this.allowTokens(run);
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query(`delete from access_tokens where role = 'telematics'`);
    await run.query('alter table access_tokens drop constraint access_tokens_source_ck');
    await run.query('alter table access_tokens drop constraint access_tokens_depots_ck');
    await run.query('alter table access_tokens drop constraint access_tokens_role_ck');
    await run.query('alter table access_tokens drop column telematics_source_id');
    await run.query(
      `alter table access_tokens add constraint access_tokens_depots_ck check (depot_ids <> '{}' and (depot_ids is null or role <> 'manager'))`,
    );
    await run.query(
      `alter table access_tokens add constraint access_tokens_role_ck check (role in ('manager', 'mechanic', 'dashboard', 'calendar'))`,
    );
    await run.query('drop index vehicles_serial_number_ix');
    await run.query('drop table telematics_machines');
    await run.query('drop table telematics_sources');
  }

  private async createSources(run: QueryRunner): Promise<void> {
    await run.query(`create table telematics_sources (
      fleet_id uuid not null,
      id uuid not null,
      name text not null,
      kind text not null,
      address text,
      sign_in text not null,
      user_name text,
      secret text,
      token_address text,
      scope text,
      every_minutes integer,
      with_faults boolean not null default false,
      paused_at timestamptz,
      version integer not null default 1,
      created_at timestamptz not null default now(),
      next_poll_at timestamptz,
      polled_until timestamptz,
      resume_at text,
      complete_since timestamptz,
      failures integer not null default 0,
      failing_since timestamptz,
      failure jsonb,
      last_success_at timestamptz,
      newest_at timestamptz,
      last_intake jsonb,
      constraint telematics_sources_pk primary key (fleet_id, id),
      constraint telematics_sources_name_uq unique (fleet_id, name),
      constraint telematics_sources_fleet_fk foreign key (fleet_id) references fleets (id),
      constraint telematics_sources_kind_ck check (kind in ('iso-15143-3', 'rfms-4', 'push')),
      constraint telematics_sources_sign_in_ck check (sign_in in ('none', 'basic', 'bearer', 'oauth2')),
      constraint telematics_sources_polled_ck check ((kind = 'push') = (address is null) and (kind = 'push') = (every_minutes is null))
    )`);
    await run.query(
      `create index telematics_sources_due_ix on telematics_sources (next_poll_at, fleet_id, id) where kind <> 'push' and paused_at is null`,
    );
  }

  private async createMachines(run: QueryRunner): Promise<void> {
    await run.query(`create table telematics_machines (
      fleet_id uuid not null,
      id uuid not null,
      source_id uuid not null,
      key text not null,
      vin text,
      serial_number text,
      equipment_id text,
      make text,
      model text,
      vehicle_id uuid,
      matched_by text,
      is_ambiguous boolean not null default false,
      is_beside boolean not null default false,
      first_seen_at timestamptz not null,
      last_seen_at timestamptz not null,
      reported_at timestamptz,
      odometer_km double precision,
      odometer_at timestamptz,
      engine_hours double precision,
      engine_hours_at timestamptz,
      taken integer not null default 0,
      held integer not null default 0,
      refused integer not null default 0,
      last_refusal jsonb,
      constraint telematics_machines_pk primary key (fleet_id, id),
      constraint telematics_machines_key_uq unique (fleet_id, source_id, key),
      constraint telematics_machines_source_fk foreign key (fleet_id, source_id) references telematics_sources (fleet_id, id),
      constraint telematics_machines_vehicle_fk foreign key (fleet_id, vehicle_id) references vehicles (fleet_id, id),
      constraint telematics_machines_matched_ck check (matched_by in ('mapping', 'vin', 'serial-number') and (vehicle_id is null) = (matched_by is null))
    )`);
    await run.query('create index telematics_machines_source_ix on telematics_machines (fleet_id, source_id, id)');
    await run.query(
      'create index telematics_machines_unknown_ix on telematics_machines (fleet_id, source_id, id) where vehicle_id is null',
    );
    await run.query(
      'create index telematics_machines_vehicle_ix on telematics_machines (fleet_id, vehicle_id) where vehicle_id is not null',
    );
  }

  /** Only managers see sources, and a manager is never bound to depots. */
  private async restrict(run: QueryRunner, table: string): Promise<void> {
    await run.query(`alter table ${table} enable row level security`);
    await run.query(`alter table ${table} force row level security`);
    await run.query(
      `create policy ${table}_in_fleet on ${table} to weephole_app using (${IN_SCOPE}) with check (${IN_SCOPE})`,
    );
    await run.query(
      `create policy ${table}_kept on ${table} to weephole_owner using (${ENTERED}) with check (${ENTERED})`,
    );
    await run.query(
      `create policy ${table}_in_depots on ${table} as restrictive to weephole_depots using (false) with check (false)`,
    );
    await run.query(`grant select, insert, update, delete on ${table} to weephole_app`);
  }

  /** Audits sources, and which vehicle somebody said a machine is. */
  private async record(run: QueryRunner): Promise<void> {
    const leftOut = ['fleet_id', 'id', 'version', 'created_at', ...POLLING].join();
    await run.query(`create trigger telematics_sources_recorded after insert or update or delete on telematics_sources
      for each row execute function record_change('telematics-source', '{${leftOut}}', '{secret}')`);
    await run.query(`create trigger telematics_machines_recorded after update of vehicle_id, matched_by on telematics_machines
      for each row when (old.vehicle_id is distinct from new.vehicle_id and 'mapping' in (old.matched_by, new.matched_by))
      execute function record_event('telematics-machine', 'id', 'changed', '{vehicle_id,matched_by}')`);
  }

  private async allowTokens(run: QueryRunner): Promise<void> {
    await run.query('alter table access_tokens add column telematics_source_id uuid');
    await run.query('alter table access_tokens drop constraint access_tokens_role_ck');
    await run.query('alter table access_tokens drop constraint access_tokens_depots_ck');
    await run.query(
      `alter table access_tokens add constraint access_tokens_role_ck check (role in ('manager', 'mechanic', 'dashboard', 'calendar', 'telematics'))`,
    );
    await run.query(
      `alter table access_tokens add constraint access_tokens_depots_ck check (depot_ids <> '{}' and (depot_ids is null or role not in ('manager', 'telematics')))`,
    );
    await run.query(
      `alter table access_tokens add constraint access_tokens_source_ck check (telematics_source_id is null or role = 'telematics')`,
    );
  }
}
