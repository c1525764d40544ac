import type { MigrationInterface, QueryRunner } from 'typeorm';

const IN_SCOPE = `fleet_id = nullif(current_setting('app.fleet_id', true), '')::uuid`;
const ENTERED = `fleet_id = nullif(current_setting('app.entered_fleet_id', true), '')::uuid`;
const SEEN = `exists (select from vehicles s where s.fleet_id = vehicle_labels.fleet_id and s.id = vehicle_labels.vehicle_id)`;

/** Gives vehicles a label by which anybody beside one can report what is wrong with it. */
export class LabelVehicles1796084000000 implements MigrationInterface {
  name = 'LabelVehicles1796084000000';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`alter table fleets add column driver_labels text not null default 'none',
      add constraint fleets_driver_labels_ck check (driver_labels in ('none', 'defects'))`);
    await run.query('alter table defects add column via_label boolean not null default false');
    await run.query(
      `create index defects_unseen_ix on defects (fleet_id, vehicle_id) where via_label and state = 'reported'`,
    );
    await run.query(`create table vehicle_labels (
      fleet_id uuid not null,
      id uuid not null,
      vehicle_id uuid not null,
      secret bytea not null,
      made_at timestamptz not null,
      constraint vehicle_labels_pk primary key (fleet_id, id),
      constraint vehicle_labels_vehicle_uq unique (fleet_id, vehicle_id),
      constraint vehicle_labels_secret_uq unique (fleet_id, secret),
      constraint vehicle_labels_vehicle_fk foreign key (fleet_id, vehicle_id) references vehicles (fleet_id, id),
      constraint vehicle_labels_secret_ck check (length(secret) = 16)
    )`);
    await run.query('alter table vehicle_labels enable row level security');
    await run.query('alter table vehicle_labels force row level security');
    await run.query(
      `create policy vehicle_labels_in_fleet on vehicle_labels to weephole_app using (${IN_SCOPE}) with check (${IN_SCOPE})`,
    );
    await run.query(
      `create policy vehicle_labels_kept on vehicle_labels to weephole_owner using (${ENTERED}) with check (${ENTERED})`,
    );
    await run.query(
      `create policy vehicle_labels_in_depots on vehicle_labels as restrictive to weephole_depots using (${SEEN}) with check (${SEEN})`,
    );
    await run.query('grant select, insert, update, delete on vehicle_labels to weephole_app');
    await run.query(`create trigger vehicle_labels_recorded after insert or update or delete on vehicle_labels
      for each row execute function record_change('vehicle-label', '{fleet_id,id,made_at}', '{secret}')`);
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query('drop table vehicle_labels');
    await run.query('drop index defects_unseen_ix');
    await run.query('alter table defects drop column via_label');
    await run.query('alter table fleets drop column driver_labels');
  }
}
