import type { MigrationInterface, QueryRunner } from 'typeorm';

/** Keeps why a held reading was discarded, and records it in the audit. */
export class KeepWhyReadingsAreDiscarded1796090810000 implements MigrationInterface {
  name = 'KeepWhyReadingsAreDiscarded1796090810000';

  async up(run: QueryRunner): Promise<void> {
    await run.query('alter table usage_readings add column decision_reason text');
    await this.record(run, '{decision,decision_reason}');
  }

  async down(run: QueryRunner): Promise<void> {
    await this.record(run, '{decision}');
    await run.query('alter table usage_readings drop column decision_reason');
  }

  private async record(run: QueryRunner, columns: string): Promise<void> {
    await run.query('drop trigger usage_readings_recorded on usage_readings');
    await run.query(`create trigger usage_readings_recorded after update of decision on usage_readings
      for each row when (old.decision is distinct from new.decision and new.job_report_id is null and new.is_undone = old.is_undone)
      execute function record_event('usage-reading', 'id', 'decision', '${columns}')`);
  }
}
