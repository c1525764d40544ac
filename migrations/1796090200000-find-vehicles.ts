import type { MigrationInterface, QueryRunner } from 'typeorm';

/** The columns of each index. The order of the list is last, so a page is one scan. */
const INDEXES: Record<string, string> = {
  vehicles_by_depot_ix: '(fleet_id, depot_id, unit_number, id)',
  vehicles_by_status_ix: '(fleet_id, status, unit_number, id)',
  vehicles_without_plan_ix: '(fleet_id, unit_number, id) where interval_plan_id is null',
  vehicles_without_sheet_ix: '(fleet_id, unit_number, id) where spec_sheet_id is null',
};

/** Lets a page of vehicles of a depot, of a status, or without a plan or sheet be one scan. */
export class FindVehicles1796090200000 implements MigrationInterface {
  name = 'FindVehicles1796090200000';

  async up(run: QueryRunner): Promise<void> {
    for (const [name, columns] of Object.entries(INDEXES))
      await run.query(`create index ${name} on vehicles ${columns}`);
  }

  async down(run: QueryRunner): Promise<void> {
    for (const name of Object.keys(INDEXES)) await run.query(`drop index ${name}`);
  }
}
