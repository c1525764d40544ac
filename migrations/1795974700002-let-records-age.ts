import type { MigrationInterface, QueryRunner } from 'typeorm';

/**
 * Functions for records that have reached their retention age. The service may not change or delete
 * audit entries; these functions can, as the owner, but only in the fleet in scope and only entries
 * older than four weeks.
 */
export class LetRecordsAge1795974700002 implements MigrationInterface {
  name = 'LetRecordsAge1795974700002';

  async up(run: QueryRunner): Promise<void> {
    const how = 'language plpgsql volatile security definer set search_path = public, pg_temp';
    const fleet = `nullif(current_setting('app.fleet_id', true), '')::uuid`;
    const guard = `if before is null or before > now() - interval '28 days' then
      raise exception 'entries of the last four weeks are kept'; end if;
      perform set_config('app.entered_fleet_id', current_setting('app.fleet_id', true), true);`;
    await run.query(`create function remove_audit_entries(before timestamptz, most integer) returns integer ${how} as $$
      declare
        gone integer;
      begin
        ${guard}
        delete from audit_entries e using (
          select id from audit_entries where fleet_id = ${fleet} and at < before order by at, id limit most) old
        where e.fleet_id = ${fleet} and e.id = old.id;
        get diagnostics gone = row_count;
        return gone;
      end $$`);
    // Removes from an entry who did a job, whom a token was for, and where a reminder went.
    await run.query(`create function without_people(what text, changes jsonb) returns jsonb language sql immutable set search_path = public, pg_temp as $$
      select coalesce(jsonb_object_agg(field, case
        when field in ('performed_by', 'address') or (what = 'token' and field = 'name') then '{"hidden": true}' else value end), '{}')
      from jsonb_each(changes) as c(field, value) $$`);
    await run.query(`create function hide_people_in_audit(before timestamptz, most integer) returns integer ${how} as $$
      declare
        changed integer;
      begin
        ${guard}
        update audit_entries e set changes = without_people(e.kind, e.changes),
          actor = case when e.actor_kind = 'sign-in' then 'forgotten' else e.actor end
        from (
          select id from audit_entries a where a.fleet_id = ${fleet} and a.at < before
            and ((a.actor_kind = 'sign-in' and a.actor <> 'forgotten')
              or (a.changes ?| '{performed_by,address,name}' and without_people(a.kind, a.changes) <> a.changes))
          order by a.at, a.id limit most) old
        where e.fleet_id = ${fleet} and e.id = old.id;
        get diagnostics changed = row_count;
        return changed;
      end $$`);
    await this.createForgetting(run, how, fleet, guard);
    for (const name of ['remove_audit_entries', 'hide_people_in_audit', 'forget_ended']) {
      await run.query(`revoke all on function ${name}(timestamptz, integer) from public`);
      await run.query(`grant execute on function ${name}(timestamptz, integer) to weephole_app`);
    }
  }

  async down(run: QueryRunner): Promise<void> {
    for (const name of ['remove_audit_entries', 'hide_people_in_audit', 'forget_ended'])
      await run.query(`drop function ${name}(timestamptz, integer)`);
    await run.query('drop function without_people(text, jsonb)');
  }

  /**
   * Removes the holders of ended tokens and the addresses of removed targets. The audit records
   * that this was done, with the name.
   */
  private async createForgetting(run: QueryRunner, how: string, fleet: string, guard: string): Promise<void> {
    await run.query(`create function forget_ended(before timestamptz, most integer) returns integer ${how} as $$
      declare
        tokens uuid[];
        targets uuid[];
      begin
        ${guard}
        with old as (
          select id from access_tokens where fleet_id = ${fleet} and least(revoked_at, expires_at) < before and name <> 'forgotten' limit most),
        changed as (
          update access_tokens t set name = 'forgotten' from old where t.fleet_id = ${fleet} and t.id = old.id returning t.id)
        select coalesce(array_agg(id), '{}') into tokens from changed;
        with old as (
          select id from reminder_targets where fleet_id = ${fleet} and removed_at < before and kind = 'email'
            and address <> 'forgotten@forgotten.invalid' limit most),
        changed as (
          update reminder_targets t set address = 'forgotten@forgotten.invalid' from old
          where t.fleet_id = ${fleet} and t.id = old.id returning t.id)
        select coalesce(array_agg(id), '{}') into targets from changed;
        update audit_entries e set changes = without_people(e.kind, e.changes)
        where e.fleet_id = ${fleet} and e.subject_id = any(tokens || targets) and without_people(e.kind, e.changes) <> e.changes;
        return greatest(cardinality(tokens), cardinality(targets));
      end $$`);
  }
}
