import { createHmac } from 'node:crypto';
import pg from 'pg';
import type { DatabaseRole } from './roles.js';

/** Where the service connects to: as what does its work, and as what looks across fleets. */
export interface ServiceUrls {
  app: string;
  sweep: string;
}

/** By itself neither may do anything: all it may is take these roles, and no login may take those of the other. */
const LOGINS: Record<keyof ServiceUrls, { name: string; roles: DatabaseRole[] }> = {
  app: { name: 'weephole_app_login', roles: ['weephole_app', 'weephole_depots'] },
  sweep: { name: 'weephole_sweep_login', roles: ['weephole_sweep'] },
};

/** A password that whoever knows that of the superuser can work out, so that no other secret is to be kept, and processes agree. */
function passwordOf(superuserUrl: string, login: string): string {
  return createHmac('sha256', decodeURIComponent(new URL(superuserUrl).password))
    .update(login)
    .digest('hex');
}

/** The addresses under which the service connects to a server that it owns. */
export function serviceUrls(superuserUrl: string): ServiceUrls {
  const urlOf = ({ name }: { name: string }): string => {
    const url = new URL(superuserUrl);
    url.username = name;
    url.password = passwordOf(superuserUrl, name);
    return url.href;
  };
  return { app: urlOf(LOGINS.app), sweep: urlOf(LOGINS.sweep) };
}

/**
 * Makes the logins in a server that the service owns, whose superuser would pass by row-level security the moment it gave up its
 * role. Harmless to repeat, after the roles were made.
 */
export async function ensureLogins(superuserUrl: string): Promise<void> {
  const client = new pg.Client({ connectionString: superuserUrl, application_name: 'weephole logins' });
  await client.connect();
  try {
    for (const { name, roles } of Object.values(LOGINS)) {
      await client.query(`do $$ begin
        if not exists (select from pg_roles where rolname = '${name}') then create role ${name}; end if;
      end $$`);
      // Digits and letters alone; a statement that defines a role takes no parameters.
      const password = passwordOf(superuserUrl, name);
      await client.query(
        `alter role ${name} login noinherit nosuperuser nobypassrls nocreaterole nocreatedb noreplication password '${password}'`,
      );
      await client.query(`grant ${roles.join(', ')} to ${name}`);
    }
  } finally {
    await client.end();
  }
}
