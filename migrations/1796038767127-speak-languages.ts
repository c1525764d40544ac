import type { MigrationInterface, QueryRunner } from 'typeorm';

/** A token that may be used at the time, and of which a use within the last minute is not noted yet. */
const NOT_NOTED = `t.hash = any(hashes) and t.revoked_at is null and (t.expires_at is null or t.expires_at > used_at)
          and (t.last_used_at is null or t.last_used_at <= used_at - interval '1 minute')`;

const CREATE_FLEET = 'create_fleet(uuid, text, text, text, uuid, text, bytea)';
const CREATE_FLEET_IN_LANGUAGE = 'create_fleet(uuid, text, text, text, uuid, text, bytea, text)';

/**
 * A fleet has a language; a token and a reminder target may have another. Which languages there are
 * is known to the service alone, so that a further one needs no migration.
 */
export class SpeakLanguages1796038767127 implements MigrationInterface {
  name = 'SpeakLanguages1796038767127';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`alter table fleets add column language text not null default 'en'`);
    await run.query('alter table access_tokens add column language text');
    await run.query('alter table reminder_targets add column language text');
    await run.query(`drop function ${CREATE_FLEET}`);
    await run.query(`create function create_fleet(fleet uuid, fleet_name text, zone text, unit_system text, token uuid, token_name text,
        token_hash bytea, fleet_language text default 'en')
      returns void language sql volatile security definer set search_path = public, pg_temp
      as $$
        insert into fleets (id, name, time_zone, units, language) values (fleet, fleet_name, zone, unit_system, fleet_language);
        insert into access_tokens (fleet_id, id, name, role, hash) values (fleet, token, token_name, 'manager', token_hash);
      $$`);
    await allowApp(run, CREATE_FLEET_IN_LANGUAGE);
    await createTokenHolders(run, true);
  }

  async down(run: QueryRunner): Promise<void> {
    await createTokenHolders(run, false);
    await run.query(`drop function ${CREATE_FLEET_IN_LANGUAGE}`);
    await run.query(`create function create_fleet(fleet uuid, fleet_name text, zone text, unit_system text, token uuid, token_name text, token_hash bytea)
      returns void language sql volatile security definer set search_path = public, pg_temp
      as $$
        insert into fleets (id, name, time_zone, units) values (fleet, fleet_name, zone, unit_system);
        insert into access_tokens (fleet_id, id, name, role, hash) values (fleet, token, token_name, 'manager', token_hash);
      $$`);
    await allowApp(run, CREATE_FLEET);
    await run.query('alter table reminder_targets drop column language');
    await run.query('alter table access_tokens drop column language');
    await run.query('alter table fleets drop column language');
  }
}

/** Processes of the version before name the columns that they read, and read on. */
async function createTokenHolders(run: QueryRunner, hasLanguage: boolean): Promise<void> {
  await run.query('drop function token_holders(bytea[], timestamptz)');
  await run.query(`create function token_holders(hashes bytea[], used_at timestamptz)
    returns table (hash bytea, fleet_id uuid, token_id uuid, role text, depot_ids uuid[], time_zone text, units text, expires_at timestamptz,
      change_number bigint${hasLanguage ? ', language text' : ''})
    language plpgsql volatile security definer set search_path = public, pg_temp set plan_cache_mode = force_generic_plan set enable_seqscan = off
    as $$
    #variable_conflict use_column
    begin
      if exists (select from access_tokens t where ${NOT_NOTED}) then
        update access_tokens u set last_used_at = used_at where (u.fleet_id, u.id) in (
          select t.fleet_id, t.id from access_tokens t where ${NOT_NOTED} for no key update skip locked);
      end if;
      return query select t.hash, t.fleet_id, t.id, t.role, t.depot_ids, f.time_zone, f.units, t.expires_at, coalesce(c.number, 0)
          ${hasLanguage ? ', coalesce(t.language, f.language)' : ''}
        from access_tokens t join fleets f on f.id = t.fleet_id left join fleet_changes c on c.fleet_id = t.fleet_id
        where t.hash = any(hashes) and t.revoked_at is null;
    end $$`);
  await allowApp(run, 'token_holders(bytea[], timestamptz)');
}

async function allowApp(run: QueryRunner, signature: string): Promise<void> {
  await run.query(`revoke all on function ${signature} from public`);
  await run.query(`grant execute on function ${signature} to weephole_app`);
}
