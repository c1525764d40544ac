import type { MigrationInterface, QueryRunner } from 'typeorm';

const KNOWN = 'fleets_driver_labels_ck';

/** Lets drivers say by a label that they topped up. It counts once somebody has accepted it. */
export class HoldLabelledTopUps1796084000001 implements MigrationInterface {
  name = 'HoldLabelledTopUps1796084000001';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`alter table fleets drop constraint ${KNOWN}`);
    await run.query(
      `alter table fleets add constraint ${KNOWN} check (driver_labels in ('none', 'defects', 'defects-and-top-ups'))`,
    );
    await run.query(`alter table defects add column is_top_up boolean not null default false,
      add column added_l double precision,
      add column top_up_reading_id uuid,
      add constraint defects_top_up_fk foreign key (fleet_id, top_up_reading_id) references readings (fleet_id, id),
      add constraint defects_top_up_ck check (is_top_up or num_nonnulls(added_l, top_up_reading_id) = 0)`);
    await run.query(
      'create index defects_top_up_ix on defects (fleet_id, top_up_reading_id) where top_up_reading_id is not null',
    );
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query(
      'alter table defects drop column top_up_reading_id, drop column added_l, drop column is_top_up',
    );
    await run.query('alter table fleets no force row level security');
    await run.query(
      `update fleets set driver_labels = 'defects' where driver_labels = 'defects-and-top-ups'`,
    );
    await run.query('alter table fleets force row level security');
    await run.query(`alter table fleets drop constraint ${KNOWN}`);
    await run.query(
      `alter table fleets add constraint ${KNOWN} check (driver_labels in ('none', 'defects'))`,
    );
  }
}
