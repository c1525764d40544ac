import type { MigrationInterface, QueryRunner } from 'typeorm';

/**
 * SQL for a token that is valid at the time and whose last recorded use is more than a minute ago.
 */
const NOT_NOTED = `t.hash = any(hashes) and t.revoked_at is null and (t.expires_at is null or t.expires_at > used_at)
          and (t.last_used_at is null or t.last_used_at <= used_at - interval '1 minute')`;

/**
 * Finds the holders of several tokens and the change numbers of their fleets in one call: a call
 * for each token and fleet took most of the time. `token_holder` and `change_number_of` stay for
 * API processes of the previous version, which run on until they are restarted.
 */
export class FindTokenHoldersTogether1795785000000 implements MigrationInterface {
  name = 'FindTokenHoldersTogether1795785000000';

  async up(run: QueryRunner): Promise<void> {
    // Also records the use of the tokens: at most once a minute, and without waiting for a
    // transaction that is revoking one. Planned once, by the indexes: with many fleets, PostgreSQL
    // would otherwise plan each call for its tokens, which takes longer than looking them up.
    await run.query(`create function token_holders(hashes bytea[], used_at timestamptz)
      returns table (hash bytea, fleet_id uuid, token_id uuid, role text, depot_ids uuid[], time_zone text, units text, expires_at timestamptz,
        change_number bigint)
      language plpgsql volatile security definer set search_path = public, pg_temp set plan_cache_mode = force_generic_plan set enable_seqscan = off
      as $$
      #variable_conflict use_column
      begin
        if exists (select from access_tokens t where ${NOT_NOTED}) then
          update access_tokens u set last_used_at = used_at where (u.fleet_id, u.id) in (
            select t.fleet_id, t.id from access_tokens t where ${NOT_NOTED} for no key update skip locked);
        end if;
        return query select t.hash, t.fleet_id, t.id, t.role, t.depot_ids, f.time_zone, f.units, t.expires_at, coalesce(c.number, 0)
          from access_tokens t join fleets f on f.id = t.fleet_id left join fleet_changes c on c.fleet_id = t.fleet_id
          where t.hash = any(hashes) and t.revoked_at is null;
      end $$`);
    await run.query('revoke all on function token_holders(bytea[], timestamptz) from public');
    await run.query('grant execute on function token_holders(bytea[], timestamptz) to weephole_app');
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query('drop function token_holders(bytea[], timestamptz)');
  }
}
