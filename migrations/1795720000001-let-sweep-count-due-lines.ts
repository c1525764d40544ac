import type { MigrationInterface, QueryRunner } from 'typeorm';

const COLUMNS =
  'fleet_id, is_open, no_baseline, window_opens_on, due_on, late_on, late_lapses_on, late_for_good_on';

/**
 * Lets operators see how many due lines are in each state, over all fleets, calculated from nothing
 * but their dates.
 */
export class LetSweepCountDueLines1795720000001 implements MigrationInterface {
  name = 'LetSweepCountDueLines1795720000001';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`create policy due_lines_swept on due_lines for select to weephole_sweep using (true)`);
    await run.query(`grant select (${COLUMNS}) on due_lines to weephole_sweep`);
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query(`revoke select (${COLUMNS}) on due_lines from weephole_sweep`);
    await run.query(`drop policy due_lines_swept on due_lines`);
  }
}
