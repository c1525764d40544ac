import type { MigrationInterface, QueryRunner } from 'typeorm';

const IN_SCOPE = `nullif(current_setting('app.fleet_id', true), '')::uuid`;
const ENTERED = `nullif(current_setting('app.entered_fleet_id', true), '')::uuid`;

/** Creates the tables for coolant temperatures: the samples of the last days, and daily figures. */
export class KeepCoolantTemperatures1796073000000 implements MigrationInterface {
  name = 'KeepCoolantTemperatures1796073000000';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`create table coolant_temperature_samples (
      fleet_id uuid not null,
      vehicle_id uuid not null,
      day date not null,
      began_at timestamptz not null,
      minutes integer array not null,
      celsius double precision array not null,
      constraint coolant_temperature_samples_pk primary key (fleet_id, vehicle_id, day),
      constraint coolant_temperature_samples_vehicle_fk foreign key (fleet_id, vehicle_id) references vehicles (fleet_id, id),
      constraint coolant_temperature_samples_pairs_ck check (cardinality(minutes) = cardinality(celsius))
    )`);
    await run.query(
      'create index coolant_temperature_samples_day_ix on coolant_temperature_samples (fleet_id, day)',
    );
    await run.query(`create table coolant_temperature_days (
      fleet_id uuid not null,
      id uuid not null,
      vehicle_id uuid not null,
      day date not null,
      samples integer not null,
      highest_c double precision not null,
      hot_c double precision,
      alarm_c double precision,
      thermostat_opens_c double precision,
      samples_above_alarm integer,
      minutes_above_alarm integer,
      overheated_from timestamptz,
      overheated_until timestamptz,
      warm_up_minutes double precision,
      usual_gap_minutes double precision,
      largest_gap_minutes integer,
      odometer_lifetime_km double precision,
      engine_hours_lifetime double precision,
      voided_at timestamptz,
      void_reason text,
      constraint coolant_temperature_days_pk primary key (fleet_id, id),
      constraint coolant_temperature_days_day_uq unique (fleet_id, vehicle_id, day),
      constraint coolant_temperature_days_vehicle_fk foreign key (fleet_id, vehicle_id) references vehicles (fleet_id, id),
      constraint coolant_temperature_days_hot_ck check ((overheated_from is null) = (overheated_until is null)),
      constraint coolant_temperature_days_voided_ck check ((voided_at is null) = (void_reason is null))
    )`);
    await run.query(
      `create index coolant_temperature_days_hot_ix on coolant_temperature_days (fleet_id, vehicle_id, overheated_from, id)
       where overheated_from is not null`,
    );
    await this.guard(run, 'coolant_temperature_samples', 'select, insert, update, delete');
    await this.guard(run, 'coolant_temperature_days', 'select, insert, update');
    await run.query(`create trigger coolant_temperature_days_recorded after update of voided_at on coolant_temperature_days
      for each row when (old.voided_at is distinct from new.voided_at)
      execute function record_event('temperature-day', 'id', 'voided', '{void_reason}')`);
  }

  private async guard(run: QueryRunner, table: string, grants: string): Promise<void> {
    await run.query(`alter table ${table} enable row level security`);
    await run.query(`alter table ${table} force row level security`);
    await run.query(
      `create policy ${table}_in_fleet on ${table} to weephole_app using (fleet_id = ${IN_SCOPE}) with check (fleet_id = ${IN_SCOPE})`,
    );
    await run.query(
      `create policy ${table}_kept on ${table} to weephole_owner using (fleet_id = ${ENTERED}) with check (fleet_id = ${ENTERED})`,
    );
    const ofVehicle = `exists (select from vehicles s where s.fleet_id = ${table}.fleet_id and s.id = ${table}.vehicle_id)`;
    await run.query(
      `create policy ${table}_in_depots on ${table} as restrictive to weephole_depots using (${ofVehicle}) with check (${ofVehicle})`,
    );
    await run.query(`grant ${grants} on ${table} to weephole_app`);
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query('drop table coolant_temperature_days');
    await run.query('drop table coolant_temperature_samples');
  }
}
