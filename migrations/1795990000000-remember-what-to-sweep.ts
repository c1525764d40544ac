import type { MigrationInterface, QueryRunner } from 'typeorm';

const IN_SCOPE = `nullif(current_setting('app.fleet_id', true), '')::uuid`;
const ENTERED = `nullif(current_setting('app.entered_fleet_id', true), '')::uuid`;

/**
 * Records which vehicles to check for news, in the transaction that writes the news, and which
 * workers are alive, so that another worker takes over what a killed one had begun.
 */
export class RememberWhatToSweep1795990000000 implements MigrationInterface {
  name = 'RememberWhatToSweep1795990000000';

  async up(run: QueryRunner): Promise<void> {
    await this.createSweepRequests(run);
    // Belongs to no fleet: it describes processes only.
    await run.query(`create table workers (
      id uuid not null,
      seen_at timestamptz not null,
      constraint workers_pk primary key (id)
    )`);
    await run.query('grant select, insert, update, delete on workers to weephole_app');
    await run.query('grant select on workers to weephole_sweep');
    await run.query('alter table reminders add column attempted_by uuid');
    await run.query(
      `create index reminders_attempted_ix on reminders (attempted_by, fleet_id, id) where status = 'waiting' and attempted_by is not null`,
    );
    await run.query('grant select (attempted_by) on reminders to weephole_sweep');
  }

  private async createSweepRequests(run: QueryRunner): Promise<void> {
    await run.query(`create table sweep_requests (
      fleet_id uuid not null,
      vehicle_id uuid not null,
      id uuid not null default uuidv7(),
      requested_at timestamptz not null default now(),
      constraint sweep_requests_pk primary key (fleet_id, vehicle_id, id),
      constraint sweep_requests_vehicle_fk foreign key (fleet_id, vehicle_id) references vehicles(fleet_id, id) on delete cascade
    )`);
    await run.query('alter table sweep_requests enable row level security');
    await run.query('alter table sweep_requests force row level security');
    await run.query(
      `create policy sweep_requests_in_fleet on sweep_requests to weephole_app using (fleet_id = ${IN_SCOPE}) with check (fleet_id = ${IN_SCOPE})`,
    );
    await run.query(
      `create policy sweep_requests_kept on sweep_requests to weephole_owner using (fleet_id = ${ENTERED}) with check (fleet_id = ${ENTERED})`,
    );
    await run.query(
      'create policy sweep_requests_swept on sweep_requests for select to weephole_sweep using (true)',
    );
    await run.query('grant select, insert, update, delete on sweep_requests to weephole_app');
    await run.query('grant select (fleet_id, requested_at) on sweep_requests to weephole_sweep');
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query('revoke select (attempted_by) on reminders from weephole_sweep');
    await run.query('alter table reminders drop column attempted_by');
    await run.query('drop table workers');
    await run.query('drop table sweep_requests');
  }
}
