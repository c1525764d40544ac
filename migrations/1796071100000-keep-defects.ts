import type { MigrationInterface, QueryRunner } from 'typeorm';

const IN_SCOPE = `nullif(current_setting('app.fleet_id', true), '')::uuid`;
const ENTERED = `nullif(current_setting('app.entered_fleet_id', true), '')::uuid`;

/** Creates the tables for the defects that people report, and for what is decided about them. */
export class KeepDefects1796071100000 implements MigrationInterface {
  name = 'KeepDefects1796071100000';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`alter table job_reports add column repaired_defects uuid[] not null default '{}'`);
    await run.query(`create table defects (
      fleet_id uuid not null,
      id uuid not null,
      vehicle_id uuid not null,
      reported_at timestamptz not null,
      reported_by text,
      source text not null,
      what text not null,
      component text,
      action text,
      item text,
      odometer_km double precision,
      engine_hours double precision,
      state text not null default 'reported',
      repaired_by_id uuid,
      odometer_lifetime_km double precision,
      engine_hours_lifetime double precision,
      content_hash bytea not null,
      token_id uuid,
      posted_by text,
      received_at timestamptz not null default now(),
      constraint defects_pk primary key (fleet_id, id),
      constraint defects_vehicle_fk foreign key (fleet_id, vehicle_id) references vehicles (fleet_id, id),
      constraint defects_repaired_by_fk foreign key (fleet_id, repaired_by_id) references job_reports (fleet_id, id),
      constraint defects_source_ck check (source in ('driver', 'mechanic', 'inspection')),
      constraint defects_state_ck check (state in ('reported', 'triaged', 'dismissed', 'repaired')),
      constraint defects_repaired_ck check ((state = 'repaired') = (repaired_by_id is not null))
    )`);
    for (const index of [
      'defects_vehicle_ix on defects (fleet_id, vehicle_id, reported_at, id)',
      'defects_reported_ix on defects (fleet_id, reported_at, id)',
      'defects_state_ix on defects (fleet_id, state, reported_at, id)',
      `defects_open_ix on defects (fleet_id, reported_at, id) where state in ('reported', 'triaged')`,
      'defects_token_ix on defects (fleet_id, token_id, reported_at, id)',
      'defects_repaired_by_ix on defects (fleet_id, repaired_by_id) where repaired_by_id is not null',
    ])
      await run.query(`create index ${index}`);
    await run.query(`create table defect_decisions (
      fleet_id uuid not null,
      id uuid not null,
      defect_id uuid not null,
      at timestamptz not null,
      kind text not null,
      decided_by text not null,
      component text,
      action text,
      item text,
      due_on date,
      vehicle_stays boolean,
      reason text,
      token_id uuid,
      constraint defect_decisions_pk primary key (fleet_id, id),
      constraint defect_decisions_defect_fk foreign key (fleet_id, defect_id) references defects (fleet_id, id),
      constraint defect_decisions_kind_ck check (kind in ('triage', 'dismiss')),
      constraint defect_decisions_triage_ck check (num_nonnulls(component, action, vehicle_stays) = case kind when 'triage' then 3 else 0 end),
      constraint defect_decisions_dismiss_ck check (kind = 'triage' or reason is not null)
    )`);
    await run.query(
      'create index defect_decisions_defect_ix on defect_decisions (fleet_id, defect_id, at, id)',
    );
    await this.protect(run, 'defects', 'vehicles', 'vehicle_id');
    await this.protect(run, 'defect_decisions', 'defects', 'defect_id');
    await run.query('grant select, insert, update on defects to weephole_app');
    await run.query('grant select, insert, update (decided_by) on defect_decisions to weephole_app');
    await run.query(`create trigger defects_received after insert on defects
      for each row execute function record_event('defect', 'id', 'recorded', '{vehicle_id,source}')`);
    await run.query(`create trigger defect_decisions_recorded after insert on defect_decisions
      for each row execute function record_event('defect', 'defect_id', 'kind', '{component,action,item,due_on,vehicle_stays,reason}')`);
  }

  /** A token bound to depots sees the rows of what it sees. */
  private async protect(run: QueryRunner, table: string, parent: string, key: string): Promise<void> {
    await run.query(`alter table ${table} enable row level security`);
    await run.query(`alter table ${table} force row level security`);
    await run.query(
      `create policy ${table}_in_fleet on ${table} to weephole_app using (fleet_id = ${IN_SCOPE}) with check (fleet_id = ${IN_SCOPE})`,
    );
    await run.query(
      `create policy ${table}_kept on ${table} to weephole_owner using (fleet_id = ${ENTERED}) with check (fleet_id = ${ENTERED})`,
    );
    const seen = `exists (select from ${parent} s where s.fleet_id = ${table}.fleet_id and s.id = ${table}.${key})`;
    await run.query(
      `create policy ${table}_in_depots on ${table} as restrictive to weephole_depots using (${seen}) with check (${seen})`,
    );
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query('drop table defect_decisions');
    await run.query('drop table defects');
    await run.query('alter table job_reports drop column repaired_defects');
  }
}
