import type { MigrationInterface, QueryRunner } from 'typeorm';

/**
 * Stores why a usage reading is held as a code and its values. An earlier sentence stays as it is,
 * under the code `legacy`.
 */
export class TellUsageAsMessages1796039609762 implements MigrationInterface {
  name = 'TellUsageAsMessages1796039609762';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`alter table usage_readings alter column detail type jsonb
      using case when detail is not null then jsonb_build_object('code', 'legacy', 'values', jsonb_build_object('text', detail)) end`);
    await this.forget(run);
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query(`alter table usage_readings alter column detail type text
      using coalesce(detail #>> '{values,text}', detail ->> 'code')`);
    await this.forget(run);
  }

  /**
   * Empties the stored summaries of vehicles. They contain the texts of readings that a later
   * reading can still contradict. The vehicle's next reading is then judged from all its readings
   * and fills the summary again.
   */
  private async forget(run: QueryRunner): Promise<void> {
    await run.query('alter table usage_summaries no force row level security');
    await run.query(`update usage_summaries set memory = null, remembered_until = null, checkpoints = '[]', checkpoints_until = null
      where memory::text like '%"detail"%' or checkpoints::text like '%"detail"%'`);
    await run.query('alter table usage_summaries force row level security');
  }
}
