import type { MigrationInterface, QueryRunner } from 'typeorm';

/** Records which report replaced which, and which one describes the work of another. */
export class LinkJobReports1795740000000 implements MigrationInterface {
  async up(run: QueryRunner): Promise<void> {
    await run.query(`alter table job_reports
      add column supersedes_id uuid,
      add column superseded_by_id uuid,
      add column possible_duplicate_of_id uuid,
      add constraint job_reports_supersedes_fk foreign key (fleet_id, supersedes_id) references job_reports (fleet_id, id),
      add constraint job_reports_superseded_by_fk foreign key (fleet_id, superseded_by_id) references job_reports (fleet_id, id),
      add constraint job_reports_possible_duplicate_fk foreign key (fleet_id, possible_duplicate_of_id) references job_reports (fleet_id, id)`);
    await run.query(
      `create index job_reports_possible_duplicates_ix on job_reports (fleet_id, performed_at, id)
       where possible_duplicate_of_id is not null and voided_at is null`,
    );
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query(`drop index job_reports_possible_duplicates_ix`);
    await run.query(
      `alter table job_reports drop column supersedes_id, drop column superseded_by_id, drop column possible_duplicate_of_id`,
    );
  }
}
