import type { MigrationInterface, QueryRunner } from 'typeorm';

/**
 * Counts each token's requests in the current minute when there is no Redis to do it. Losing the
 * counts in a crash does no harm.
 */
export class CountRequests1795730030000 implements MigrationInterface {
  name = 'CountRequests1795730030000';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`create unlogged table request_counts (
      key text not null,
      points integer not null default 0,
      expire bigint,
      constraint request_counts_pk primary key (key)
    )`);
    await run.query('grant select, insert, update, delete on request_counts to weephole_app');
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query('drop table request_counts');
  }
}
