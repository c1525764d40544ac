import type { MigrationInterface, QueryRunner } from 'typeorm';

/** A manager books visits without a plan. Such a visit is audited by itself. */
export class BookVisits1796090850000 implements MigrationInterface {
  name = 'BookVisits1796090850000';

  async up(run: QueryRunner): Promise<void> {
    await run.query('alter table visits alter column visit_plan_id drop not null');
    await run.query(`create trigger visits_booked after insert on visits
      for each row when (new.visit_plan_id is null)
      execute function record_event('visit', 'id', 'created', '{vehicle_id,depot_id,day}')`);
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query('drop trigger visits_booked on visits');
    await run.query('alter table visits alter column visit_plan_id set not null');
  }
}
