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
    // Every reading writes a summary and most of the vehicle's due lines anew. With room in the page, a version that no index tells apart from the
    // one before goes beside it; and what is kept for a day is not worth compressing.
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
