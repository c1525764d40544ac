import type { MigrationInterface, QueryRunner } from 'typeorm';

const IN_SCOPE = `nullif(current_setting('app.fleet_id', true), '')::uuid`;
/** The fleet that a command entered as the owner. */
const ENTERED = `nullif(current_setting('app.entered_fleet_id', true), '')::uuid`;

/** Tables that an import fills. */
const BROUGHT_IN = ['vehicles', 'usage_readings', 'job_reports'];

const ONCE = `create unique index usage_readings_once_uq on usage_readings (fleet_id, vehicle_id, read_at, odometer_km, engine_hours)
      nulls not distinct where job_report_id is null`;

const EVENTS: Record<string, { when: string; event: string }> = {
  usage_readings: {
    when: 'old.decision is distinct from new.decision and new.job_report_id is null',
    event: `'usage-reading', 'id', 'decision', '{decision}'`,
  },
  job_reports: {
    when: 'old.voided_at is distinct from new.voided_at',
    event: `'job-report', 'id', 'voided', '{void_reason}'`,
  },
};
const ON: Record<string, string> = { usage_readings: 'decision', job_reports: 'voided_at' };

/** Records each imported file and what it brought, so that it can be undone as a whole. */
export class KeepImports1795974881190 implements MigrationInterface {
  name = 'KeepImports1795974881190';

  async up(run: QueryRunner): Promise<void> {
    await this.createTable(run);
    for (const table of BROUGHT_IN) {
      await run.query(`alter table ${table} add column import_id uuid`);
      await run.query(
        `alter table ${table} add constraint ${table}_import_fk foreign key (fleet_id, import_id) references imports (fleet_id, id)`,
      );
      await run.query(
        `create index ${table}_import_ix on ${table} (fleet_id, import_id) where import_id is not null`,
      );
    }
    for (const table of ['usage_readings', 'job_reports'])
      await run.query(`alter table ${table} add column is_undone boolean not null default false`);
    // What was undone may be imported again.
    await run.query('drop index usage_readings_once_uq');
    await run.query(`${ONCE} and not is_undone`);
    await this.createRemoval(run);
    await this.recordOnce(run);
  }

  async down(run: QueryRunner): Promise<void> {
    for (const table of Object.keys(EVENTS)) await this.recordEach(run, table, '');
    await run.query('drop function delete_undone(uuid[])');
    for (const table of ['usage_readings', 'job_lines', 'job_reports'])
      await run.query(`drop policy ${table}_undone on ${table}`);
    await run.query('drop index usage_readings_once_uq');
    await run.query(ONCE);
    for (const table of ['usage_readings', 'job_reports'])
      await run.query(`alter table ${table} drop column is_undone`);
    for (const table of BROUGHT_IN) await run.query(`alter table ${table} drop column import_id`);
    await run.query('drop table imports');
  }

  private async createTable(run: QueryRunner): Promise<void> {
    // The counts are null until the file has been imported.
    await run.query(`create table imports (
      fleet_id uuid not null,
      id uuid not null,
      kind text not null,
      file_name text,
      sha256 bytea not null,
      imported_at timestamptz not null,
      actor_kind text not null,
      actor text not null,
      role text,
      rows integer,
      accepted integer,
      duplicate integer,
      held integer,
      rejected integer,
      reading jsonb,
      undone_at timestamptz,
      undone_by_kind text,
      undone_by text,
      undone_by_role text,
      undone_vehicles integer,
      undone_usage_readings integer,
      undone_job_reports integer,
      constraint imports_pk primary key (fleet_id, id),
      constraint imports_fleet_fk foreign key (fleet_id) references fleets(id),
      constraint imports_kind_ck check (kind in ('vehicles', 'usage-readings', 'job-reports')),
      constraint imports_undone_ck check ((undone_at is null) = (undone_by is null))
    )`);
    await run.query('create index imports_time_ix on imports (fleet_id, imported_at, id)');
    await run.query('alter table imports enable row level security');
    await run.query('alter table imports force row level security');
    await run.query(
      `create policy imports_in_fleet on imports to weephole_app using (fleet_id = ${IN_SCOPE}) with check (fleet_id = ${IN_SCOPE})`,
    );
    await run.query(
      `create policy imports_kept on imports to weephole_owner using (fleet_id = ${ENTERED}) with check (fleet_id = ${ENTERED})`,
    );
    // Only managers import files, and a manager is never bound to depots.
    await run.query(
      'create policy imports_in_depots on imports as restrictive to weephole_depots using (false)',
    );
    await run.query('grant select, insert, update on imports to weephole_app');
    await run.query(`create trigger imports_received after update of rows on imports
      for each row when (old.rows is null and new.rows is not null)
      execute function record_event('import', 'id', 'recorded', '{file_name,rows,accepted,duplicate,held,rejected}')`);
    await run.query(`create trigger imports_recorded after update of undone_at on imports
      for each row when (old.undone_at is distinct from new.undone_at)
      execute function record_event('import', 'id', 'undone', '{undone_vehicles,undone_usage_readings,undone_job_reports}')`);
  }

  /**
   * Creates the function that removes history, since the service itself may not. When the vehicles
   * of a file go, undone rows of other files about these vehicles go with them. The function sees
   * nothing else.
   */
  private async createRemoval(run: QueryRunner): Promise<void> {
    const undone = `fleet_id = ${IN_SCOPE} and is_undone`;
    for (const table of ['usage_readings', 'job_reports'])
      await run.query(`create policy ${table}_undone on ${table} to weephole_owner using (${undone})`);
    await run.query(`create policy job_lines_undone on job_lines to weephole_owner using (fleet_id = ${IN_SCOPE} and exists (
      select from job_reports r where r.fleet_id = job_lines.fleet_id and r.id = job_lines.job_report_id and r.is_undone))`);
    await run.query(`create function delete_undone(vehicle_ids uuid[])
      returns void language sql volatile security definer set search_path = public, pg_temp
      as $$
        delete from usage_readings where fleet_id = ${IN_SCOPE} and vehicle_id = any (vehicle_ids) and is_undone;
        delete from job_lines l using job_reports r
          where r.fleet_id = ${IN_SCOPE} and r.vehicle_id = any (vehicle_ids) and r.is_undone and l.fleet_id = r.fleet_id and l.job_report_id = r.id;
        delete from job_reports where fleet_id = ${IN_SCOPE} and vehicle_id = any (vehicle_ids) and is_undone;
      $$`);
    await run.query('revoke all on function delete_undone(uuid[]) from public');
    await run.query('grant execute on function delete_undone(uuid[]) to weephole_app');
  }

  /** An undone file is recorded once, as a file, and not once for each of its thousands of rows. */
  private async recordOnce(run: QueryRunner): Promise<void> {
    for (const table of Object.keys(EVENTS))
      await this.recordEach(run, table, 'and new.is_undone = old.is_undone');
  }

  private async recordEach(run: QueryRunner, table: string, besides: string): Promise<void> {
    const { when, event } = EVENTS[table] as { when: string; event: string };
    await run.query(`drop trigger ${table}_recorded on ${table}`);
    await run.query(`create trigger ${table}_recorded after update of ${ON[table]} on ${table}
      for each row when (${when} ${besides})
      execute function record_event(${event})`);
  }
}
