import type { MigrationInterface, QueryRunner } from 'typeorm';

/**
 * Calendars accept an update of an event only with a higher number, so each due line counts its
 * changes.
 */
export class NumberCalendarRevisions1795710000000 implements MigrationInterface {
  name = 'NumberCalendarRevisions1795710000000';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`alter table due_lines
      add column calendar_sequence integer not null default 0,
      add column revised_at timestamptz not null default now()`);
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query(`alter table due_lines drop column calendar_sequence, drop column revised_at`);
  }
}
