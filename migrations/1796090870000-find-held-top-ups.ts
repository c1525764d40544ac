import type { MigrationInterface, QueryRunner } from 'typeorm';

/** Finds the top-ups that were reported and that nobody has accepted or dismissed. */
export class FindHeldTopUps1796090870000 implements MigrationInterface {
  name = 'FindHeldTopUps1796090870000';

  async up(run: QueryRunner): Promise<void> {
    await run.query(
      `create index defects_held_top_up_ix on defects (fleet_id, reported_at, id)
        where is_top_up and top_up_reading_id is null and state in ('reported', 'triaged')`,
    );
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query('drop index defects_held_top_up_ix');
  }
}
