import type { MigrationInterface, QueryRunner } from 'typeorm';

/** Lets people who sign in at the OpenID Connect provider be known by their subject there. */
export class KnowPeopleByProvider1796090600000 implements MigrationInterface {
  name = 'KnowPeopleByProvider1796090600000';

  async up(run: QueryRunner): Promise<void> {
    await run.query('alter table people add column subject text');
    await run.query('alter table people add constraint people_subject_uq unique (fleet_id, subject)');
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query('alter table people drop column subject');
  }
}
