import type { MigrationInterface, QueryRunner } from 'typeorm';

/** Finds the few alerts that are about no single vehicle among all that are open. */
export class FindAlertsOfFleet1796090100000 implements MigrationInterface {
  name = 'FindAlertsOfFleet1796090100000';

  async up(run: QueryRunner): Promise<void> {
    await run.query(
      `create index loss_alerts_of_fleet_ix on loss_alerts (fleet_id, raised_at, id) where is_standing and status <> 'cleared' and vehicle_id is null`,
    );
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query('drop index loss_alerts_of_fleet_ix');
  }
}
