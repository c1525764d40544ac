import type { MigrationInterface, QueryRunner } from 'typeorm';

/** Lets a depot-bound token see the attachments of the job reports that it sees. */
export class BindAttachmentsToDepots1795760000000 implements MigrationInterface {
  name = 'BindAttachmentsToDepots1795760000000';

  async up(run: QueryRunner): Promise<void> {
    const rule =
      'exists (select from job_reports s where s.fleet_id = attachments.fleet_id and s.id = attachments.job_report_id)';
    await run.query(
      `create policy attachments_in_depots on attachments as restrictive to weephole_depots using (${rule}) with check (${rule})`,
    );
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query('drop policy attachments_in_depots on attachments');
  }
}
