import type { MigrationInterface, QueryRunner } from 'typeorm';

/**
 * Stores a summary of a vehicle's readings, so that work can continue without reading them again.
 * Empty for earlier conclusions: the vehicle's next reading is then concluded from all its
 * readings, and fills it.
 */
export class RememberUsage1795782000000 implements MigrationInterface {
  name = 'RememberUsage1795782000000';

  async up(run: QueryRunner): Promise<void> {
    // Not jsonb, because it is always read and written as a whole.
    await run.query(`alter table usage_summaries
      add column memory json,
      add column remembered_until timestamptz,
      add column checkpoints_until timestamptz`);
    // Every reading rewrites a summary and most of the vehicle's due lines. With free space in the
    // page, a new version that changes no indexed column fits beside the old one (HOT). And rows
    // that last a day are not worth compressing.
    await run.query('alter table usage_summaries set (fillfactor = 60, toast_tuple_target = 8160)');
    await run.query('alter table due_lines set (fillfactor = 80)');
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query('alter table due_lines reset (fillfactor)');
    await run.query('alter table usage_summaries reset (fillfactor, toast_tuple_target)');
    await run.query(
      `alter table usage_summaries drop column memory, drop column remembered_until, drop column checkpoints_until`,
    );
  }
}
