import type { MigrationInterface, QueryRunner } from 'typeorm';

/**
 * Lets the fleet's change number be read together with the holder of a token, before any fleet is
 * in scope.
 */
export class TellChangeNumbers1795770000000 implements MigrationInterface {
  name = 'TellChangeNumbers1795770000000';

  async up(run: QueryRunner): Promise<void> {
    await run.query(
      'create policy fleet_changes_owned on fleet_changes for select to weephole_owner using (true)',
    );
    await run.query(`create function change_number_of(fleet uuid) returns bigint
      language sql stable security definer set search_path = public, pg_temp
      as $$ select coalesce((select number from fleet_changes where fleet_id = fleet), 0) $$`);
    await run.query('revoke all on function change_number_of(uuid) from public');
    await run.query('grant execute on function change_number_of(uuid) to weephole_app');
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query('drop function change_number_of(uuid)');
    await run.query('drop policy fleet_changes_owned on fleet_changes');
  }
}
