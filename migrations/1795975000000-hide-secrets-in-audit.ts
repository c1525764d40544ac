import type { MigrationInterface, QueryRunner } from 'typeorm';

/**
 * Words that mark a column or a document field as secret: `previous_secret`, `pin_hash`,
 * `signingKey`. Must not match `token_id`, nor the time at which a secret ends
 * (`previous_secret_until`).
 */
const SECRET_WORDS =
  'secrets?|hash|hashes|hashed|sha[0-9]+|md5|salt|password|passwords|passwd|passphrase|credentials?|(api|private|secret|signing|encryption)_?keys?';
const TELLS_SECRET = `^(?!.*_(at|on|until)$)(.*_)?((${SECRET_WORDS})(_|$)|tokens?$)`;

const ADDS_ENTRY = `insert into audit_entries (fleet_id, id, at, actor_kind, actor, role, request_id, kind, subject_id, action, changes)
        select fleet, gen_random_uuid(), coalesce((who ->> 'at')::timestamptz, clock_timestamp()), coalesce(who ->> 'kind', 'service'), coalesce(who ->> 'id', 'service'),
          who ->> 'role', who ->> 'requestId', what, subject, done`;

/**
 * Hides secrets and hashes in all audit entries, for any table and any column that is added later.
 * The rule is in `write_audit_entry`, which writes every entry. Existing entries are rewritten by
 * the same rule.
 */
export class HideSecretsInAudit1795975000000 implements MigrationInterface {
  name = 'HideSecretsInAudit1795975000000';

  async up(run: QueryRunner): Promise<void> {
    await this.createRule(run);
    await this.replaceWriting(run, 'without_secrets(difference)');
    await this.scrub(run);
  }

  /** Hidden values cannot be restored. */
  async down(run: QueryRunner): Promise<void> {
    await this.replaceWriting(run, 'difference');
    await run.query('drop function without_secrets(jsonb)');
    await run.query('drop function tells_secret(text)');
  }

  private async createRule(run: QueryRunner): Promise<void> {
    // Column names use underscores, document fields camel case. A single expression without
    // settings, which PostgreSQL can inline.
    await run.query(`create function tells_secret(name text)
      returns boolean language sql immutable
      as $$ select lower(regexp_replace(name, '([a-z0-9])([A-Z])', '\\1_\\2', 'g')) ~ '${TELLS_SECRET}' $$`);
    // A document with a secret anywhere inside is hidden as a whole.
    await run.query(`create function without_secrets(difference jsonb)
      returns jsonb language sql immutable set search_path = public, pg_temp
      as $$
        select coalesce(jsonb_object_agg(field, case
          when tells_secret(field) or exists (
            select from jsonb_path_query(change, '$.*.** ? (@.type() == "object").keyvalue().key') inner_field
            where tells_secret(inner_field #>> '{}'))
          then '{"hidden": true}'::jsonb else change end), '{}')
        from jsonb_each(difference) as changed (field, change)
      $$`);
    for (const signature of ['tells_secret(text)', 'without_secrets(jsonb)'])
      await run.query(`revoke all on function ${signature} from public`);
  }

  private async replaceWriting(run: QueryRunner, shown: string): Promise<void> {
    await run.query(`create or replace function write_audit_entry(fleet uuid, what text, subject uuid, done text, difference jsonb)
      returns void language plpgsql volatile security definer set search_path = public, pg_temp
      as $$
      declare
        who jsonb := coalesce(nullif(current_setting('app.actor', true), ''), '{}')::jsonb;
      begin
        -- With a fleet that is deleted whole, its record goes.
        ${ADDS_ENTRY}, ${shown}
        where exists (select from fleets f where f.id = fleet);
      end $$`);
  }

  private async scrub(run: QueryRunner): Promise<void> {
    // Forced row-level security would hide the entries from the owner of the table too.
    await run.query('alter table audit_entries no force row level security');
    // Check the plain text first: that takes a tenth of the time, and most entries contain no such
    // word.
    await run.query(`update audit_entries set changes = without_secrets(changes)
      where changes::text ~* '${SECRET_WORDS}|token' and changes <> without_secrets(changes)`);
    await run.query('alter table audit_entries force row level security');
  }
}
