import type { MigrationInterface, QueryRunner } from 'typeorm';

/**
 * What a vehicle's readings come down to for going on without reading them again. Empty for what was concluded before: the next reading of
 * the vehicle is then concluded from its readings, and fills it.
 */
export class RememberUsage1795782000000 implements MigrationInterface {
  name = 'RememberUsage1795782000000';

  async up(run: QueryRunner): Promise<void> {
    // Not jsonb: it is taken in and given out whole.
    await run.query(`alter table usage_summaries
      add column memory json,
      add column remembered_until timestamptz,
      add column checkpoints_until timestamptz`);
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query(
      `alter table usage_summaries drop column memory, drop column remembered_until, drop column checkpoints_until`,
    );
  }
}
