import type { MigrationInterface, QueryRunner } from 'typeorm';

const IN_SCOPE = `nullif(current_setting('app.fleet_id', true), '')::uuid`;
const ENTERED = `nullif(current_setting('app.entered_fleet_id', true), '')::uuid`;

/** Creates the table for the fault codes that vehicles reported. */
export class KeepFaults1796052254118 implements MigrationInterface {
  name = 'KeepFaults1796052254118';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`create table faults (
      fleet_id uuid not null,
      id uuid not null,
      vehicle_id uuid not null,
      code text not null,
      spn integer,
      fmi integer,
      is_active boolean not null,
      reported_by text not null,
      first_at timestamptz not null,
      last_at timestamptz not null,
      occurrences integer,
      odometer_lifetime_km double precision,
      engine_hours_lifetime double precision,
      token_id uuid,
      received_at timestamptz not null default now(),
      voided_at timestamptz,
      void_reason text,
      constraint faults_pk primary key (fleet_id, id),
      constraint faults_vehicle_fk foreign key (fleet_id, vehicle_id) references vehicles (fleet_id, id),
      constraint faults_reported_by_ck check (reported_by in ('person', 'source')),
      constraint faults_code_ck check ((spn is null) = (fmi is null)),
      constraint faults_order_ck check (first_at <= last_at),
      constraint faults_voided_ck check ((voided_at is null) = (void_reason is null))
    )`);
    await run.query('create index faults_vehicle_ix on faults (fleet_id, vehicle_id, code, first_at, id)');
    await run.query('create index faults_latest_ix on faults (fleet_id, first_at, id) where is_active');
    await run.query('alter table faults enable row level security');
    await run.query('alter table faults force row level security');
    await run.query(
      `create policy faults_in_fleet on faults to weephole_app using (fleet_id = ${IN_SCOPE}) with check (fleet_id = ${IN_SCOPE})`,
    );
    await run.query(
      `create policy faults_kept on faults to weephole_owner using (fleet_id = ${ENTERED}) with check (fleet_id = ${ENTERED})`,
    );
    const ofVehicle =
      'exists (select from vehicles s where s.fleet_id = faults.fleet_id and s.id = faults.vehicle_id)';
    await run.query(
      `create policy faults_in_depots on faults as restrictive to weephole_depots using (${ofVehicle}) with check (${ofVehicle})`,
    );
    await run.query('grant select, insert, update on faults to weephole_app');
    await run.query(`create trigger faults_recorded after update of voided_at on faults
      for each row when (old.voided_at is distinct from new.voided_at)
      execute function record_event('fault', 'id', 'voided', '{void_reason}')`);
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query('drop table faults');
  }
}
