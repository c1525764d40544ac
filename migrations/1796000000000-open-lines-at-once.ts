import type { MigrationInterface, QueryRunner } from 'typeorm';

/** Records which due lines a reading opened at once, why, and what is still to be settled. */
export class OpenLinesAtOnce1796000000000 implements MigrationInterface {
  name = 'OpenLinesAtOnce1796000000000';

  async up(run: QueryRunner): Promise<void> {
    await run.query(
      'alter table due_lines add column is_at_once boolean not null default false, add column cause text, add column opened_by jsonb',
    );
    await run.query(
      'create index due_lines_at_once_ix on due_lines (fleet_id, due_on, id) where is_open and is_at_once',
    );
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query('drop index due_lines_at_once_ix');
    await run.query('alter table due_lines drop column is_at_once, drop column cause, drop column opened_by');
  }
}
