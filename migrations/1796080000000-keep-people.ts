import type { MigrationInterface, QueryRunner } from 'typeorm';

const IN_SCOPE = `fleet_id = nullif(current_setting('app.fleet_id', true), '')::uuid`;
const ENTERED = `fleet_id = nullif(current_setting('app.entered_fleet_id', true), '')::uuid`;
const BOUND_TO = `current_setting('app.depot_ids', true)::uuid[]`;

/**
 * SQL for a token that is valid at the time and whose last recorded use is more than a minute ago.
 */
const NOT_NOTED = `t.hash = any(hashes) and t.revoked_at is null and (t.expires_at is null or t.expires_at > used_at)
          and (t.last_used_at is null or t.last_used_at <= used_at - interval '1 minute')`;

const HOLDERS = 'token_holders(bytea[], timestamptz)';

/** Creates the table of people. A token may belong to one. */
export class KeepPeople1796080000000 implements MigrationInterface {
  name = 'KeepPeople1796080000000';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`create table people (
      fleet_id uuid not null,
      id uuid not null,
      name text not null,
      badge text,
      role text not null,
      depot_ids uuid array,
      language text,
      left_at timestamptz,
      version integer not null default 1,
      created_at timestamptz not null default now(),
      constraint people_pk primary key (fleet_id, id),
      constraint people_badge_uq unique (fleet_id, badge),
      constraint people_fleet_fk foreign key (fleet_id) references fleets (id),
      constraint people_role_ck check (role in ('manager', 'mechanic', 'dashboard', 'driver')),
      constraint people_depots_ck check (depot_ids <> '{}' and (depot_ids is null or role <> 'manager'))
    )`);
    await run.query('create index people_name_ix on people (fleet_id, name, id)');
    await this.restrict(run);
    await run.query(`create trigger people_recorded after insert or update or delete on people
      for each row execute function record_change('person', '{fleet_id,id,version,created_at}', '{}')`);
    await run.query('alter table access_tokens add column person_id uuid');
    await run.query(
      'alter table access_tokens add constraint access_tokens_person_fk foreign key (fleet_id, person_id) references people (fleet_id, id)',
    );
    await run.query(
      'create index access_tokens_person_ix on access_tokens (fleet_id, person_id) where person_id is not null',
    );
    await createTokenHolders(run, true);
  }

  async down(run: QueryRunner): Promise<void> {
    await createTokenHolders(run, false);
    await run.query('alter table access_tokens drop column person_id');
    await run.query('drop table people');
  }

  /**
   * A token bound to depots sees the people of these depots, and those of the whole fleet. The
   * owner looks up whose a token is before it knows the fleet.
   */
  private async restrict(run: QueryRunner): Promise<void> {
    await run.query('alter table people enable row level security');
    await run.query('alter table people force row level security');
    await run.query(
      `create policy people_in_fleet on people to weephole_app using (${IN_SCOPE}) with check (${IN_SCOPE})`,
    );
    await run.query(
      `create policy people_kept on people to weephole_owner using (${ENTERED}) with check (${ENTERED})`,
    );
    await run.query('create policy people_owned on people for select to weephole_owner using (true)');
    const seen = `depot_ids is null or depot_ids && ${BOUND_TO}`;
    await run.query(
      `create policy people_in_depots on people as restrictive to weephole_depots using (${seen}) with check (${seen})`,
    );
    await run.query('grant select, insert, update, delete on people to weephole_app');
  }
}

/** Processes of the previous version name the columns that they read, so they keep working. */
async function createTokenHolders(run: QueryRunner, hasPeople: boolean): Promise<void> {
  await run.query(`drop function ${HOLDERS}`);
  await run.query(`create function token_holders(hashes bytea[], used_at timestamptz)
    returns table (hash bytea, fleet_id uuid, token_id uuid, role text, depot_ids uuid[], time_zone text, units text, expires_at timestamptz,
      change_number bigint, language text${hasPeople ? ', person_id uuid, person_name text' : ''})
    language plpgsql volatile security definer set search_path = public, pg_temp set plan_cache_mode = force_generic_plan set enable_seqscan = off
    as $$
    #variable_conflict use_column
    begin
      if exists (select from access_tokens t where ${NOT_NOTED}) then
        update access_tokens u set last_used_at = used_at where (u.fleet_id, u.id) in (
          select t.fleet_id, t.id from access_tokens t where ${NOT_NOTED} for no key update skip locked);
      end if;
      return query select t.hash, t.fleet_id, t.id, t.role, t.depot_ids, f.time_zone, f.units, t.expires_at, coalesce(c.number, 0)
          ${hasPeople ? ', coalesce(t.language, p.language, f.language), p.id, p.name' : ', coalesce(t.language, f.language)'}
        from access_tokens t join fleets f on f.id = t.fleet_id left join fleet_changes c on c.fleet_id = t.fleet_id
          ${hasPeople ? 'left join people p on p.fleet_id = t.fleet_id and p.id = t.person_id' : ''}
        where t.hash = any(hashes) and t.revoked_at is null;
    end $$`);
  await run.query(`revoke all on function ${HOLDERS} from public`);
  await run.query(`grant execute on function ${HOLDERS} to weephole_app`);
}
