import type { MigrationInterface, QueryRunner } from 'typeorm';

/**
 * A function that forgets the people who left before an instant, as the owner, because the service
 * may not change audit entries. Only in the fleet in scope, and only people who left more than four
 * weeks ago.
 */
export class ForgetPeopleWhoLeft1796090800000 implements MigrationInterface {
  name = 'ForgetPeopleWhoLeft1796090800000';

  async up(run: QueryRunner): Promise<void> {
    const fleet = `nullif(current_setting('app.fleet_id', true), '')::uuid`;
    // Removes from an entry who somebody is and on which device they signed in.
    await run.query(`create function without_left_person(what text, changes jsonb) returns jsonb language sql immutable set search_path = public, pg_temp as $$
      select coalesce(jsonb_object_agg(field, case
        when what in ('person', 'token') and field = 'name' or what = 'person' and field in ('badge', 'subject')
          or what = 'session' and field = 'device' then '{"hidden": true}' else value end), '{}')
      from jsonb_each(changes) as c(field, value) $$`);
    await run.query(`create function forget_left_people(before timestamptz, most integer) returns integer
      language plpgsql volatile security definer set search_path = public, pg_temp as $$
      declare
        people_gone uuid[];
        tokens uuid[];
        devices uuid[];
      begin
        if before is null or before > now() - interval '28 days' then
          raise exception 'people who left in the last four weeks are kept'; end if;
        perform set_config('app.entered_fleet_id', current_setting('app.fleet_id', true), true);
        with old as (
          select id from people where fleet_id = ${fleet} and left_at < before
            and (name <> 'forgotten' or badge is not null or subject is not null) order by id limit most),
        changed as (
          update people p set name = 'forgotten', badge = null, subject = null, version = p.version + 1
          from old where p.fleet_id = ${fleet} and p.id = old.id returning p.id)
        select coalesce(array_agg(id), '{}') into people_gone from changed;
        with changed as (
          update access_tokens set name = 'forgotten' where fleet_id = ${fleet} and person_id = any(people_gone) returning id)
        select coalesce(array_agg(id), '{}') into tokens from changed;
        select coalesce(array_agg(distinct e.subject_id), '{}') into devices from audit_entries e
        where e.fleet_id = ${fleet} and e.kind = 'session'
          and (e.subject_id in (select id from sessions where fleet_id = ${fleet} and person_id = any(people_gone))
            or e.changes -> 'person_id' ->> 'to' = any(people_gone::text[]));
        delete from sessions where fleet_id = ${fleet} and (person_id = any(people_gone) or token_id = any(tokens));
        delete from sign_in_links where fleet_id = ${fleet} and person_id = any(people_gone);
        update audit_entries e set changes = without_left_person(e.kind, e.changes)
        where e.fleet_id = ${fleet} and e.subject_id = any(people_gone || tokens || devices)
          and without_left_person(e.kind, e.changes) <> e.changes;
        return cardinality(people_gone);
      end $$`);
    await run.query('revoke all on function forget_left_people(timestamptz, integer) from public');
    await run.query('grant execute on function forget_left_people(timestamptz, integer) to weephole_app');
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query('drop function forget_left_people(timestamptz, integer)');
    await run.query('drop function without_left_person(text, jsonb)');
  }
}
