import pg from 'pg';

/**
 * The database roles. None of them can log in; a connection takes one when it is opened.
 *
 * - `weephole_owner` owns the tables and runs the migrations.
 * - `weephole_app` runs requests and jobs. It sees the rows of the fleet in scope.
 * - `weephole_depots` does the same for tokens that are bound to depots. It has the rights of the
 *   application, but only for the vehicles of those depots.
 * - `weephole_sweep` sees across fleets, but only what finding the next work needs.
 */
export type DatabaseRole = 'weephole_owner' | 'weephole_app' | 'weephole_depots' | 'weephole_sweep';

const ROLES: DatabaseRole[] = ['weephole_owner', 'weephole_app', 'weephole_depots', 'weephole_sweep'];

/**
 * Creates the roles and their basic rights before the first migration; safe to repeat. The login
 * must be able to create roles.
 */
export async function ensureRoles(client: pg.Client): Promise<void> {
  for (const role of ROLES) {
    await client.query(`do $$ begin
      if not exists (select from pg_roles where rolname = '${role}') then create role ${role} nologin; end if;
    exception when duplicate_object or unique_violation then null; end $$`);
    // The login must be a member to take the role. A login that can take it already is left alone.
    await client.query(`do $$ begin
      if not pg_has_role(current_user, '${role}', 'set') then execute format('grant ${role} to %I', current_user); end if;
    end $$`);
  }
  // As a member, it has the application's rights and falls under its policies, in addition to its
  // own.
  await client.query(`do $$ begin
    if not pg_has_role('weephole_depots', 'weephole_app', 'usage') then grant weephole_app to weephole_depots; end if;
  end $$`);
  await client.query(
    `do $$ begin execute format('grant create, temporary, connect on database %I to weephole_owner', current_database()); end $$`,
  );
  await client.query('grant usage, create on schema public to weephole_owner');
  await client.query('grant usage on schema public to weephole_app, weephole_sweep');
}
