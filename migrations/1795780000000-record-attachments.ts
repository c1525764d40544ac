import type { MigrationInterface, QueryRunner } from 'typeorm';

/**
 * Audits evidence that is added to a job report or withdrawn from it, like every other decision of
 * a person.
 */
export class RecordAttachments1795780000000 implements MigrationInterface {
  name = 'RecordAttachments1795780000000';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`create trigger attachments_received after insert on attachments
      for each row execute function record_event('attachment', 'id', 'recorded', '{job_report_id,media_type,size_bytes}')`);
    await run.query(`create trigger attachments_recorded after update of voided_at on attachments
      for each row when (old.voided_at is distinct from new.voided_at)
      execute function record_event('attachment', 'id', 'voided', '{void_reason}')`);
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query('drop trigger attachments_recorded on attachments');
    await run.query('drop trigger attachments_received on attachments');
  }
}
