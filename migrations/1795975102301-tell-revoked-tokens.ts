import type { MigrationInterface, QueryRunner } from 'typeorm';

/**
 * Tells every API process at once that a token is no longer valid, however it was revoked, so that
 * its streams end.
 */
export class TellRevokedTokens1795975102301 implements MigrationInterface {
  name = 'TellRevokedTokens1795975102301';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`create function tell_token_revoked() returns trigger
      language plpgsql volatile set search_path = public, pg_temp
      as $$ begin perform pg_notify('revoked_tokens', old.fleet_id || ' ' || old.id); return null; end $$`);
    await run.query(`create trigger access_tokens_revoked_tell after update of revoked_at on access_tokens
      for each row when (old.revoked_at is null and new.revoked_at is not null) execute function tell_token_revoked()`);
    await run.query(`create trigger access_tokens_deleted_tell after delete on access_tokens
      for each row when (old.revoked_at is null) execute function tell_token_revoked()`);
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query('drop trigger access_tokens_revoked_tell on access_tokens');
    await run.query('drop trigger access_tokens_deleted_tell on access_tokens');
    await run.query('drop function tell_token_revoked()');
  }
}
