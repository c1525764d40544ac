import type { MigrationInterface, QueryRunner } from 'typeorm';

const IN_SCOPE = `nullif(current_setting('app.fleet_id', true), '')::uuid`;

/** Adds photos and documents as evidence of a job. */
export class AddAttachments1795740100000 implements MigrationInterface {
  async up(run: QueryRunner): Promise<void> {
    await run.query(`create table attachments (
      fleet_id uuid not null, id uuid not null, job_report_id uuid not null, media_type text not null, size_bytes integer not null,
      sha256 bytea not null, received_sha256 bytea not null, token_id uuid, received_at timestamptz not null default now(),
      voided_at timestamptz, void_reason text,
      constraint attachments_pk primary key (fleet_id, id),
      constraint attachments_job_report_fk foreign key (fleet_id, job_report_id) references job_reports (fleet_id, id),
      constraint attachments_content_uq unique (fleet_id, job_report_id, received_sha256),
      constraint attachments_media_type_ck check (media_type in ('image/jpeg', 'image/png', 'image/webp', 'application/pdf')),
      constraint attachments_void_ck check ((voided_at is null) = (void_reason is null)))`);
    await run.query(`create table attachment_uploads (
      fleet_id uuid not null, id uuid not null, started_at timestamptz not null,
      constraint attachment_uploads_pk primary key (fleet_id, id))`);
    await run.query(
      `create index attachment_uploads_started_ix on attachment_uploads (fleet_id, started_at)`,
    );
    for (const [table, rights] of [
      ['attachments', 'select, insert, update'],
      ['attachment_uploads', 'select, insert, delete'],
    ]) {
      await run.query(`alter table ${table} enable row level security`);
      await run.query(`alter table ${table} force row level security`);
      await run.query(
        `create policy ${table}_in_fleet on ${table} to weephole_app using (fleet_id = ${IN_SCOPE}) with check (fleet_id = ${IN_SCOPE})`,
      );
      await run.query(`grant ${rights} on ${table} to weephole_app`);
    }
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query('drop table attachment_uploads');
    await run.query('drop table attachments');
  }
}
