import type { MigrationInterface, QueryRunner } from 'typeorm';

/**
 * Records when the bytes of a voided attachment were removed from the store. Attachments that were
 * voided earlier still have their bytes; the index finds them.
 */
export class RemoveVoidedFiles1795974700000 implements MigrationInterface {
  name = 'RemoveVoidedFiles1795974700000';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`alter table attachments add column bytes_removed_at timestamptz,
      add constraint attachments_removed_ck check (bytes_removed_at is null or voided_at is not null)`);
    await run.query(`create index attachments_to_remove_ix on attachments (fleet_id, voided_at, id)
      where voided_at is not null and bytes_removed_at is null`);
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query('alter table attachments drop column bytes_removed_at');
  }
}
