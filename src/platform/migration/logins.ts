import { createHmac } from 'node:crypto';
import pg from 'pg';
import { MIGRATION_LOCK } from './migration-lock.js';
import type { DatabaseRole } from '../database/roles.js';
import { scramVerifier } from './scram.js';

/** The URLs that the service connects to: one for its own work, one for looking across fleets. */
export interface ServiceUrls {
  app: string;
  sweep: string;
}

export type LoginPasswords = Record<keyof ServiceUrls, string>;

/**
 * The two logins and the roles that each may assume. On its own, neither has any rights, and
 * neither may assume the other's roles.
 */
const LOGINS: Record<keyof ServiceUrls, { name: string; roles: DatabaseRole[] }> = {
  app: { name: 'weephole_app_login', roles: ['weephole_app', 'weephole_depots'] },
  sweep: { name: 'weephole_sweep_login', roles: ['weephole_sweep'] },
};

/**
 * Derives the passwords of the logins from the superuser's. On a server that the service owns, no
 * other secret has to be stored, and all processes derive the same passwords.
 */
function derivedPasswords(superuserUrl: string): LoginPasswords {
  const secret = decodeURIComponent(new URL(superuserUrl).password);
  const of = ({ name }: { name: string }): string => createHmac('sha256', secret).update(name).digest('hex');
  return { app: of(LOGINS.app), sweep: of(LOGINS.sweep) };
}

/** Returns the URLs with which the service connects to a server that it owns. */
export function serviceUrls(superuserUrl: string): ServiceUrls {
  const passwords = derivedPasswords(superuserUrl);
  const urlOf = (login: keyof ServiceUrls): string => {
    const url = new URL(superuserUrl);
    url.username = LOGINS[login].name;
    url.password = passwords[login];
    return url.href;
  };
  return { app: urlOf('app'), sweep: urlOf('sweep') };
}

/**
 * Creates the logins that the service runs with, and sets their passwords. A superuser's login
 * would bypass row-level security as soon as it gave up its role; these logins cannot. Call it
 * after the roles exist; repeating it is harmless.
 *
 * @param adminUrl URL of a superuser, or of a login that may create roles
 */
export async function ensureLogins(
  adminUrl: string,
  passwords: LoginPasswords = derivedPasswords(adminUrl),
): Promise<void> {
  const client = new pg.Client({ connectionString: adminUrl, application_name: 'weephole logins' });
  await client.connect();
  try {
    // Without the lock, two migration steps that run at once would change the same role's row.
    await client.query('select pg_advisory_lock($1)', [MIGRATION_LOCK]);
    for (const login of ['app', 'sweep'] as const) await ensureLogin(client, login, passwords[login]);
  } finally {
    await client.end();
  }
}

async function ensureLogin(client: pg.Client, login: keyof ServiceUrls, password: string): Promise<void> {
  const { name, roles } = LOGINS[login];
  await client.query(`do $$ begin
    if not exists (select from pg_roles where rolname = '${name}') then create role ${name}; end if;
  exception when duplicate_object or unique_violation then null; end $$`);
  // A statement that defines a role takes no parameters. The verifier contains no character that
  // would end the literal.
  await client.query(`alter role ${name} login noinherit password '${scramVerifier(password)}'`);
  const { rows } = await client.query(
    `select from pg_roles where rolname = $1 and (rolsuper or rolbypassrls or rolcreaterole or rolcreatedb or rolreplication)`,
    [name],
  );
  // Only a superuser may name these attributes, even to remove them.
  if (rows.length > 0)
    await client.query(`alter role ${name} nosuperuser nobypassrls nocreaterole nocreatedb noreplication`);
  await client.query(`grant ${roles.join(', ')} to ${name}`);
}
