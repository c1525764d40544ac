import type { MigrationInterface, QueryRunner } from 'typeorm';

const BOUND_TO = `current_setting('app.depot_ids', true)::uuid[]`;

/** SQL that is true when a row of `own` refers to a visible row of another table. */
const through = (own: string, table: string, column: string): string =>
  `exists (select from ${table} s where s.fleet_id = ${own}.fleet_id and s.id = ${own}.${column})`;

const OF_VEHICLES = [
  'vehicle_assignments',
  'job_reports',
  'job_lines',
  'readings',
  're_evaluations',
  'usage_readings',
  'usage_summaries',
  'postponements',
  'loss_alerts',
];

/**
 * What a depot-bound token sees of each table. Tables that are not listed are visible as to any
 * token of the fleet.
 */
const SEEN: Record<string, string> = {
  depots: `id = any (${BOUND_TO})`,
  vehicles: `depot_id = any (${BOUND_TO})`,
  due_lines: `depot_id = any (${BOUND_TO})`,
  ...Object.fromEntries(OF_VEHICLES.map((own) => [own, through(own, 'vehicles', 'vehicle_id')])),
  loss_alert_actions: through('loss_alert_actions', 'loss_alerts', 'alert_id'),
  completions: through('completions', 'due_lines', 'due_line_id'),
  reminders: through('reminders', 'due_lines', 'due_line_id'),
  reminder_attempts: through('reminder_attempts', 'reminders', 'reminder_id'),
  // Only managers need these, and a manager is never bound to depots.
  access_tokens: 'false',
};

export class BindTokensToDepots1795730010000 implements MigrationInterface {
  name = 'BindTokensToDepots1795730010000';

  async up(run: QueryRunner): Promise<void> {
    await run.query('alter table access_tokens add column depot_ids uuid array');
    await run.query('alter table access_tokens add column last_used_at timestamptz');
    await run.query(
      `alter table access_tokens add constraint access_tokens_depots_ck check (depot_ids <> '{}' and (depot_ids is null or role <> 'manager'))`,
    );
    await run.query('grant usage on schema public to weephole_depots');
    for (const [table, rule] of Object.entries(SEEN)) {
      await run.query(
        `create policy ${table}_in_depots on ${table} as restrictive to weephole_depots using (${rule}) with check (${rule})`,
      );
    }
    await run.query('drop function token_holder(bytea)');
    // Also records the use of the token: at most once a minute, and without waiting for a
    // transaction that is revoking it.
    await run.query(`create function token_holder(token_hash bytea, used_at timestamptz)
      returns table (fleet_id uuid, token_id uuid, role text, depot_ids uuid[], time_zone text, units text, expires_at timestamptz)
      language plpgsql volatile security definer set search_path = public, pg_temp
      as $$
      #variable_conflict use_column
      declare
        used access_tokens%rowtype;
      begin
        select * into used from access_tokens t where t.hash = token_hash and t.revoked_at is null;
        if not found then return; end if;
        if (used.expires_at is null or used.expires_at > used_at)
            and (used.last_used_at is null or used.last_used_at <= used_at - interval '1 minute') then
          update access_tokens t set last_used_at = used_at where (t.fleet_id, t.id) in (
            select s.fleet_id, s.id from access_tokens s
            where s.fleet_id = used.fleet_id and s.id = used.id
              and (s.last_used_at is null or s.last_used_at <= used_at - interval '1 minute')
            for no key update skip locked);
        end if;
        return query select used.fleet_id, used.id, used.role, used.depot_ids, f.time_zone, f.units, used.expires_at
          from fleets f where f.id = used.fleet_id;
      end $$`);
    await run.query('revoke all on function token_holder(bytea, timestamptz) from public');
    await run.query('grant execute on function token_holder(bytea, timestamptz) to weephole_app');
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query('drop function token_holder(bytea, timestamptz)');
    await run.query(`create function token_holder(token_hash bytea)
      returns table (fleet_id uuid, token_id uuid, role text, time_zone text, units text, expires_at timestamptz)
      language sql stable security definer set search_path = public, pg_temp
      as $$
        select t.fleet_id, t.id, t.role, f.time_zone, f.units, t.expires_at
        from access_tokens t join fleets f on f.id = t.fleet_id
        where t.hash = token_hash and t.revoked_at is null
      $$`);
    await run.query('revoke all on function token_holder(bytea) from public');
    await run.query('grant execute on function token_holder(bytea) to weephole_app');
    for (const table of Object.keys(SEEN)) await run.query(`drop policy ${table}_in_depots on ${table}`);
    await run.query('revoke usage on schema public from weephole_depots');
    await run.query('alter table access_tokens drop column depot_ids, drop column last_used_at');
  }
}
