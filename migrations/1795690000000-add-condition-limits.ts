import type { MigrationInterface, QueryRunner } from 'typeorm';

/** Adds the limits for a coolant's condition to the spec sheet, beside its strength. */
export class AddConditionLimits1795690000000 implements MigrationInterface {
  name = 'AddConditionLimits1795690000000';

  async up(run: QueryRunner): Promise<void> {
    await run.query('alter table spec_sheets add column coolant_condition jsonb');
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query('alter table spec_sheets drop column coolant_condition');
  }
}
