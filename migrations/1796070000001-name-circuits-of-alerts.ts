import type { MigrationInterface, QueryRunner } from 'typeorm';

/** Lets a loss alert say which circuit it is about. Those so far are about the first. */
export class NameCircuitsOfAlerts1796070000001 implements MigrationInterface {
  name = 'NameCircuitsOfAlerts1796070000001';

  async up(run: QueryRunner): Promise<void> {
    await run.query('alter table loss_alerts add column circuit text');
  }

  /**
   * An alert about a further circuit falls at the next rebuild: its facts are not told apart then.
   */
  async down(run: QueryRunner): Promise<void> {
    await run.query('alter table loss_alerts drop column circuit');
  }
}
