import type { MigrationInterface, QueryRunner } from 'typeorm';

const IN_SCOPE = `nullif(current_setting('app.fleet_id', true), '')::uuid`;

/**
 * Returns how much room a fleet's attachments take, over all its depots, even to a token that is
 * bound to some of them.
 */
export class SumAttachmentBytes1795975102302 implements MigrationInterface {
  name = 'SumAttachmentBytes1795975102302';

  async up(run: QueryRunner): Promise<void> {
    await run.query(
      'create index attachments_stored_ix on attachments (fleet_id, size_bytes) where voided_at is null',
    );
    await run.query(
      `create policy attachments_owned on attachments for select to weephole_owner using (fleet_id = ${IN_SCOPE})`,
    );
    await run.query(`create function attachment_bytes() returns bigint
      language sql stable security definer set search_path = public, pg_temp
      as $$ select coalesce(sum(size_bytes), 0) from attachments where fleet_id = ${IN_SCOPE} and voided_at is null $$`);
    await run.query('revoke all on function attachment_bytes() from public');
    await run.query('grant execute on function attachment_bytes() to weephole_app');
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query('drop function attachment_bytes()');
    await run.query('drop policy attachments_owned on attachments');
    await run.query('drop index attachments_stored_ix');
  }
}
