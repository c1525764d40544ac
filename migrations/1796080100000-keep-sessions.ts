import type { MigrationInterface, QueryRunner } from 'typeorm';

const IN_SCOPE = `fleet_id = nullif(current_setting('app.fleet_id', true), '')::uuid`;

/**
 * SQL for a token that is valid at the time and whose last recorded use is more than a minute ago.
 */
const NOT_NOTED = `t.hash = any(hashes) and t.revoked_at is null and (t.expires_at is null or t.expires_at > used_at)
          and (t.last_used_at is null or t.last_used_at <= used_at - interval '1 minute')`;

/** SQL for a session that is valid at the time and was last extended more than a day ago. */
const NOT_EXTENDED = `s.hash = any(hashes) and s.revoked_at is null and s.expires_at > used_at and s.last_used_at <= used_at - interval '1 day'`;

const HOLDERS = 'token_holders(bytea[], timestamptz)';

const ACTORS = ['token', 'sign-in', 'command', 'service'];
const actorCheck = (kinds: string[]): string =>
  `alter table audit_entries add constraint audit_entries_actor_ck check (actor_kind in (${kinds.map((kind) => `'${kind}'`).join(', ')}))`;

/** Creates the tables of sign-in links and of sessions, and lets a session's cookie be looked up. */
export class KeepSessions1796080100000 implements MigrationInterface {
  name = 'KeepSessions1796080100000';

  async up(run: QueryRunner): Promise<void> {
    await this.createTables(run);
    for (const table of ['sign_in_links', 'sessions']) await this.restrict(run, table);
    await this.record(run);
    await run.query(`create function sign_in_link(secret_hash bytea)
      returns table (fleet_id uuid, id uuid, person_id uuid, time_zone text, units text)
      language sql stable security definer set search_path = public, pg_temp
      as $$
        select l.fleet_id, l.id, l.person_id, f.time_zone, f.units from sign_in_links l join fleets f on f.id = l.fleet_id where l.hash = secret_hash
      $$`);
    await allowApp(run, 'sign_in_link(bytea)');
    await run.query(`drop function ${HOLDERS}`);
    await createHoldersWithSessions(run);
    await this.tell(run);
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query('drop trigger people_changed_tell on people');
    await run.query('drop function tell_person_changed()');
    await run.query(`drop function ${HOLDERS}`);
    await createHoldersOfTokens(run);
    await run.query('drop function sign_in_link(bytea)');
    await run.query('drop table sessions');
    await run.query('drop table sign_in_links');
    // The check must hold for all rows, also of fleets that are out of reach.
    await run.query('alter table audit_entries no force row level security');
    await run.query(`update audit_entries set actor_kind = 'sign-in' where actor_kind = 'person'`);
    await run.query('alter table audit_entries force row level security');
    await run.query('alter table audit_entries drop constraint audit_entries_actor_ck');
    await run.query(actorCheck(ACTORS));
  }

  private async createTables(run: QueryRunner): Promise<void> {
    await run.query(`create table sign_in_links (
      fleet_id uuid not null,
      id uuid not null,
      person_id uuid not null,
      hash bytea not null,
      created_at timestamptz not null,
      expires_at timestamptz not null,
      redeemed_at timestamptz,
      constraint sign_in_links_pk primary key (fleet_id, id),
      constraint sign_in_links_hash_uq unique (hash),
      constraint sign_in_links_person_fk foreign key (fleet_id, person_id) references people (fleet_id, id)
    )`);
    await run.query('create index sign_in_links_person_ix on sign_in_links (fleet_id, person_id)');
    await run.query(`create table sessions (
      fleet_id uuid not null,
      id uuid not null,
      person_id uuid,
      token_id uuid,
      hash bytea not null,
      device text,
      created_at timestamptz not null,
      last_used_at timestamptz not null,
      expires_at timestamptz not null,
      revoked_at timestamptz,
      constraint sessions_pk primary key (fleet_id, id),
      constraint sessions_hash_uq unique (hash),
      constraint sessions_person_fk foreign key (fleet_id, person_id) references people (fleet_id, id),
      constraint sessions_token_fk foreign key (fleet_id, token_id) references access_tokens (fleet_id, id),
      constraint sessions_holder_ck check (num_nonnulls(person_id, token_id) = 1)
    )`);
    await run.query(
      'create index sessions_person_ix on sessions (fleet_id, person_id, created_at, id) where person_id is not null',
    );
    await run.query(
      'create index sessions_token_ix on sessions (fleet_id, token_id, created_at, id) where token_id is not null',
    );
  }

  /**
   * The owner looks up whose a link or a session is before it knows the fleet, as it does for
   * tokens. A session bound to depots sees those of its own people; the service shows it only its
   * own.
   */
  private async restrict(run: QueryRunner, table: string): Promise<void> {
    await run.query(`alter table ${table} enable row level security`);
    await run.query(`alter table ${table} force row level security`);
    await run.query(
      `create policy ${table}_in_fleet on ${table} to weephole_app using (${IN_SCOPE}) with check (${IN_SCOPE})`,
    );
    await run.query(
      `create policy ${table}_owned on ${table} to weephole_owner using (true) with check (true)`,
    );
    const seen =
      table === 'sessions'
        ? 'person_id is null or exists (select from people p where p.fleet_id = sessions.fleet_id and p.id = sessions.person_id)'
        : 'false';
    await run.query(
      `create policy ${table}_in_depots on ${table} as restrictive to weephole_depots using (${seen}) with check (${seen})`,
    );
    await run.query(`grant select, insert, update, delete on ${table} to weephole_app`);
  }

  private async record(run: QueryRunner): Promise<void> {
    await run.query('alter table audit_entries drop constraint audit_entries_actor_ck');
    await run.query(actorCheck([...ACTORS, 'person']));
    await run.query(`create trigger sign_in_links_recorded after insert on sign_in_links
      for each row execute function record_event('sign-in-link', 'id', 'created', '{person_id,expires_at}')`);
    await run.query(`create trigger sign_in_links_redeemed after update of redeemed_at on sign_in_links
      for each row when (old.redeemed_at is null and new.redeemed_at is not null)
      execute function record_event('sign-in-link', 'id', 'redeemed', '{person_id}')`);
    // How long it lasts and when it was last used change with each day of use.
    await run.query(`create trigger sessions_recorded after insert or update on sessions
      for each row execute function record_change('session', '{fleet_id,id,created_at,last_used_at,expires_at}', '{hash}')`);
  }

  /** Tells every API process at once that streams must end, as for a token that is revoked. */
  private async tell(run: QueryRunner): Promise<void> {
    await run.query(`create trigger sessions_revoked_tell after update of revoked_at on sessions
      for each row when (old.revoked_at is null and new.revoked_at is not null) execute function tell_token_revoked()`);
    await run.query(`create trigger sessions_deleted_tell after delete on sessions
      for each row when (old.revoked_at is null) execute function tell_token_revoked()`);
    await run.query(`create function tell_person_changed() returns trigger
      language plpgsql volatile set search_path = public, pg_temp
      as $$ begin perform pg_notify('revoked_tokens', new.fleet_id || ' ' || new.id || ' changed'); return null; end $$`);
    await run.query(`create trigger people_changed_tell after update of role, depot_ids, left_at on people
      for each row when ((old.role, old.depot_ids, old.left_at) is distinct from (new.role, new.depot_ids, new.left_at))
      execute function tell_person_changed()`);
  }
}

const NOTES_USE = `if exists (select from access_tokens t where ${NOT_NOTED}) then
        update access_tokens u set last_used_at = used_at where (u.fleet_id, u.id) in (
          select t.fleet_id, t.id from access_tokens t where ${NOT_NOTED} for no key update skip locked);
      end if;`;

/** Processes of the previous version name the columns that they read, so they keep working. */
const COLUMNS = `hash bytea, fleet_id uuid, token_id uuid, role text, depot_ids uuid[], time_zone text, units text, expires_at timestamptz,
      change_number bigint, language text, person_id uuid, person_name text`;

const OF_TOKENS = `select t.hash, t.fleet_id, t.id, t.role, t.depot_ids, f.time_zone, f.units, t.expires_at, coalesce(c.number, 0),
          coalesce(t.language, p.language, f.language), p.id, p.name`;
const FROM_TOKENS = `from access_tokens t join fleets f on f.id = t.fleet_id left join fleet_changes c on c.fleet_id = t.fleet_id
          left join people p on p.fleet_id = t.fleet_id and p.id = t.person_id
        where t.hash = any(hashes) and t.revoked_at is null`;

const HOW =
  'language plpgsql volatile security definer set search_path = public, pg_temp set plan_cache_mode = force_generic_plan set enable_seqscan = off';

/**
 * A session is its person's, with the person's present role and depots, or its token's. Use extends
 * it to 90 days from then, at most once a day; the answer says so, because the cookie is then sent
 * anew.
 */
async function createHoldersWithSessions(run: QueryRunner): Promise<void> {
  await run.query(`create function token_holders(hashes bytea[], used_at timestamptz)
    returns table (${COLUMNS}, session_id uuid, is_extended boolean) ${HOW}
    as $$
    #variable_conflict use_column
    declare
      extended uuid[] := '{}';
    begin
      ${NOTES_USE}
      if exists (select from sessions s where ${NOT_EXTENDED}) then
        with changed as (
          update sessions u set last_used_at = used_at, expires_at = used_at + interval '90 days' where (u.fleet_id, u.id) in (
            select s.fleet_id, s.id from sessions s where ${NOT_EXTENDED} for no key update skip locked) returning u.id)
        select coalesce(array_agg(id), '{}') into extended from changed;
      end if;
      return query ${OF_TOKENS}, null::uuid, false ${FROM_TOKENS}
        union all
        select s.hash, s.fleet_id, coalesce(t.id, p.id), coalesce(t.role, p.role), case when t.id is null then p.depot_ids else t.depot_ids end,
          f.time_zone, f.units, least(s.expires_at, t.expires_at), coalesce(c.number, 0), coalesce(t.language, p.language, f.language), p.id, p.name,
          s.id, s.id = any(extended)
        from sessions s join fleets f on f.id = s.fleet_id left join fleet_changes c on c.fleet_id = s.fleet_id
          left join access_tokens t on t.fleet_id = s.fleet_id and t.id = s.token_id
          left join people p on p.fleet_id = s.fleet_id and p.id = coalesce(s.person_id, t.person_id)
        where s.hash = any(hashes) and s.revoked_at is null and t.revoked_at is null and (s.person_id is null or p.left_at is null);
    end $$`);
  await allowApp(run, HOLDERS);
}

async function createHoldersOfTokens(run: QueryRunner): Promise<void> {
  await run.query(`create function token_holders(hashes bytea[], used_at timestamptz)
    returns table (${COLUMNS}) ${HOW}
    as $$
    #variable_conflict use_column
    begin
      ${NOTES_USE}
      return query ${OF_TOKENS} ${FROM_TOKENS};
    end $$`);
  await allowApp(run, HOLDERS);
}

async function allowApp(run: QueryRunner, signature: string): Promise<void> {
  await run.query(`revoke all on function ${signature} from public`);
  await run.query(`grant execute on function ${signature} to weephole_app`);
}
