import type { MigrationInterface, QueryRunner } from 'typeorm';

/** Adds to each target whether its urgent reminders wait for its sending hours. */
export class LetUrgentRemindersOut1795990100000 implements MigrationInterface {
  name = 'LetUrgentRemindersOut1795990100000';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`alter table reminder_targets
      add column urgent text not null default 'at-any-hour',
      add constraint reminder_targets_urgent_ck check (urgent in ('at-any-hour', 'within-hours'))`);
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query('alter table reminder_targets drop column urgent');
  }
}
