import type { MigrationInterface, QueryRunner } from 'typeorm';

/** Finds the failed readings of a month among all readings: one range of an index. */
export class FindFailedReadingsByDay1796090750000 implements MigrationInterface {
  name = 'FindFailedReadingsByDay1796090750000';

  async up(run: QueryRunner): Promise<void> {
    await run.query(
      `create index readings_failed_taken_ix on readings (fleet_id, taken_at, id) where evaluation ->> 'verdict' = 'fail' and voided_at is null`,
    );
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query('drop index readings_failed_taken_ix');
  }
}
