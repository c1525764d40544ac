import type { MigrationInterface, QueryRunner } from 'typeorm';

const LEFT_OUT = 'fleet_id,id,version,created_at,failing_since,failing_reason';

/** Keeps when a test last got through to a reminder target. */
export class KeepWhenTargetsWereTested1796082100000 implements MigrationInterface {
  name = 'KeepWhenTargetsWereTested1796082100000';

  async up(run: QueryRunner): Promise<void> {
    await run.query('alter table reminder_targets add column tested_at timestamptz');
    await this.record(run, `${LEFT_OUT},tested_at`);
  }

  async down(run: QueryRunner): Promise<void> {
    await this.record(run, LEFT_OUT);
    await run.query('alter table reminder_targets drop column tested_at');
  }

  /** Whether a message got through is nobody's decision, so the audit leaves it out. */
  private async record(run: QueryRunner, leftOut: string): Promise<void> {
    await run.query('drop trigger reminder_targets_recorded on reminder_targets');
    await run.query(`create trigger reminder_targets_recorded after insert or update or delete on reminder_targets
      for each row execute function record_change('reminder-target', '{${leftOut}}', '{secret}')`);
  }
}
