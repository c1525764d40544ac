import type { MigrationInterface, QueryRunner } from 'typeorm';

const BOUND = ['loss_alerts', 'vehicles'];

/**
 * A loss alert keeps the depot of its vehicle, so that the alerts of a depot are read from an index
 * of their own. The database sets it, and follows a vehicle that moves.
 */
export class PlaceAlerts1796090860000 implements MigrationInterface {
  name = 'PlaceAlerts1796090860000';

  async up(run: QueryRunner): Promise<void> {
    for (const table of BOUND) await run.query(`alter table ${table} no force row level security`);
    await run.query('alter table loss_alerts add column depot_id uuid');
    await run.query(`update loss_alerts a set depot_id = v.depot_id
      from vehicles v where v.fleet_id = a.fleet_id and v.id = a.vehicle_id`);
    await run.query(
      `create index loss_alerts_depot_ix on loss_alerts (fleet_id, depot_id, raised_at, id) where is_standing and status <> 'cleared'`,
    );
    await run.query(
      `create index loss_alerts_depot_cleared_ix on loss_alerts (fleet_id, depot_id, raised_at, id) where is_standing and status = 'cleared'`,
    );
    await this.createTriggers(run);
    for (const table of BOUND) await run.query(`alter table ${table} force row level security`);
  }

  private async createTriggers(run: QueryRunner): Promise<void> {
    const how = 'returns trigger language plpgsql volatile set search_path = public, pg_temp';
    await run.query(`create function place_alert() ${how} as $$
      begin
        new.depot_id := (select depot_id from vehicles where fleet_id = new.fleet_id and id = new.vehicle_id);
        return new;
      end $$`);
    await run.query(`create function move_alerts() ${how} as $$
      begin
        update loss_alerts set depot_id = new.depot_id where fleet_id = new.fleet_id and vehicle_id = new.id;
        return null;
      end $$`);
    await run.query(`create trigger loss_alerts_placed before insert on loss_alerts
      for each row when (new.vehicle_id is not null) execute function place_alert()`);
    await run.query(`create trigger vehicles_moved after update of depot_id on vehicles
      for each row when (old.depot_id is distinct from new.depot_id) execute function move_alerts()`);
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query('drop trigger vehicles_moved on vehicles');
    await run.query('drop trigger loss_alerts_placed on loss_alerts');
    await run.query('drop function move_alerts()');
    await run.query('drop function place_alert()');
    await run.query('drop index loss_alerts_depot_cleared_ix, loss_alerts_depot_ix');
    await run.query('alter table loss_alerts drop column depot_id');
  }
}
