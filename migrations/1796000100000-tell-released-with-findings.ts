import type { MigrationInterface, QueryRunner } from 'typeorm';

const BOUND = ['job_reports', 'readings', 'vehicles'];

/**
 * Adds to job reports what they found, where they were done, and whether the vehicle was released
 * with findings, so that lists of reports can use an index. Also records which due lines those
 * readings opened, and stores responses exactly as they were written.
 */
export class TellReleasedWithFindings1796000100000 implements MigrationInterface {
  name = 'TellReleasedWithFindings1796000100000';

  async up(run: QueryRunner): Promise<void> {
    for (const table of BOUND) await run.query(`alter table ${table} no force row level security`);
    await run.query(`alter table job_reports add column depot_id uuid, add column verdict text not null default 'pass',
      add column is_released_with_findings boolean not null default false`);
    await run.query(`update job_reports j set depot_id = coalesce(j.worked_at_depot_id, v.depot_id),
        verdict = coalesce(j.outcome ->> 'verdict', 'pass'),
        is_released_with_findings = j.released_for_service is not distinct from 'yes' and exists (
          select from readings r where r.fleet_id = j.fleet_id and r.job_report_id = j.id and r.evaluation ->> 'verdict' = 'fail'
            and r.kind in ('hold-test', 'torque-set', 'combustion-gas-test', 'belt-check', 'level-check', 'warm-up-check', 'road-test'))
      from vehicles v where v.fleet_id = j.fleet_id and v.id = j.vehicle_id`);
    await run.query(
      `alter table job_reports add constraint job_reports_verdict_ck check (verdict in ('pass', 'fail', 'inconclusive'))`,
    );
    await run.query(
      'create index job_reports_place_ix on job_reports (fleet_id, depot_id, performed_at, id)',
    );
    await run.query(
      `create index job_reports_verdict_ix on job_reports (fleet_id, verdict, performed_at, id) where verdict <> 'pass'`,
    );
    await run.query(
      `create index job_reports_released_ix on job_reports (fleet_id, performed_at, id) where is_released_with_findings and voided_at is null`,
    );
    await run.query('alter table due_lines add column released_with jsonb');
    await run.query(
      'create index due_lines_released_ix on due_lines (fleet_id, vehicle_id) where is_open and released_with is not null',
    );
    await run.query('alter table idempotency_records alter column body type json');
    for (const table of BOUND) await run.query(`alter table ${table} force row level security`);
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query('alter table idempotency_records alter column body type jsonb');
    await run.query('drop index due_lines_released_ix');
    await run.query('alter table due_lines drop column released_with');
    await run.query('drop index job_reports_released_ix, job_reports_verdict_ix, job_reports_place_ix');
    await run.query('alter table job_reports drop constraint job_reports_verdict_ck');
    await run.query(
      'alter table job_reports drop column depot_id, drop column verdict, drop column is_released_with_findings',
    );
  }
}
