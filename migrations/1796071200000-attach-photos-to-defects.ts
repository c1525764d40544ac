import type { MigrationInterface, QueryRunner } from 'typeorm';

const seen = (table: string, key: string): string =>
  `exists (select from ${table} s where s.fleet_id = attachments.fleet_id and s.id = attachments.${key})`;

const bind = (rule: string): string =>
  `create policy attachments_in_depots on attachments as restrictive to weephole_depots using (${rule}) with check (${rule})`;

/** Lets a photo be evidence of a reported defect as well as of a job. */
export class AttachPhotosToDefects1796071200000 implements MigrationInterface {
  name = 'AttachPhotosToDefects1796071200000';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`alter table attachments alter column job_report_id drop not null,
      add column defect_id uuid,
      add constraint attachments_defect_fk foreign key (fleet_id, defect_id) references defects (fleet_id, id),
      add constraint attachments_defect_content_uq unique (fleet_id, defect_id, received_sha256),
      add constraint attachments_owner_ck check ((job_report_id is null) <> (defect_id is null))`);
    await run.query('drop policy attachments_in_depots on attachments');
    await run.query(bind(`${seen('job_reports', 'job_report_id')} or ${seen('defects', 'defect_id')}`));
    await this.audit(run, '{job_report_id,defect_id,media_type,size_bytes}');
  }

  async down(run: QueryRunner): Promise<void> {
    await this.audit(run, '{job_report_id,media_type,size_bytes}');
    await run.query('drop policy attachments_in_depots on attachments');
    await run.query('alter table attachments no force row level security');
    await run.query('delete from attachments where defect_id is not null');
    await run.query('alter table attachments force row level security');
    await run.query('alter table attachments drop column defect_id, alter column job_report_id set not null');
    await run.query(bind(seen('job_reports', 'job_report_id')));
  }

  private async audit(run: QueryRunner, columns: string): Promise<void> {
    await run.query('drop trigger attachments_received on attachments');
    await run.query(`create trigger attachments_received after insert on attachments
      for each row execute function record_event('attachment', 'id', 'recorded', '${columns}')`);
  }
}
