import pg from 'pg';

/**
 * The database roles, none of which can log in; a connection takes one at start-up.
 *
 * - `weephole_owner` owns the tables and runs the migrations;
 * - `weephole_app` is what requests and jobs run as: the rows of the fleet in scope;
 * - `weephole_depots` is the same for a token that is bound to some depots: it may what the
 *   application may, of those depots' vehicles;
 * - `weephole_sweep` sees across fleets, and only what finding the next work needs.
 */
export type DatabaseRole = 'weephole_owner' | 'weephole_app' | 'weephole_depots' | 'weephole_sweep';

const ROLES: DatabaseRole[] = ['weephole_owner', 'weephole_app', 'weephole_depots', 'weephole_sweep'];

/**
 * Makes the roles and what they need before the first migration; harmless to repeat. The login must
 * be able to create roles.
 */
export async function ensureRoles(client: pg.Client): Promise<void> {
  for (const role of ROLES) {
    await client.query(`do $$ begin
      if not exists (select from pg_roles where rolname = '${role}') then create role ${role} nologin; end if;
    exception when duplicate_object or unique_violation then null; end $$`);
    // Granting to oneself fails for a superuser's own membership loop only; membership lets the
    // login take the role.
    await client.query(`do $$ begin
      if not pg_has_role(current_user, '${role}', 'set') then execute format('grant ${role} to %I', current_user); end if;
    end $$`);
  }
  // By being a member it has the application's rights and comes under its policies, besides its
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
