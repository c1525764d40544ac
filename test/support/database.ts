import { randomBytes } from 'node:crypto';
import pg from 'pg';
import { ensureLogins } from '../../src/platform/migration/logins.js';
import { startOwnPostgres } from './own-postgres.js';

/**
 * URL of the server that the whole run shares, with a migrated template database. global-setup
 * creates it.
 */
function serverUrl(): string {
  const url = process.env.WEEPHOLE_TEST_SERVER;
  if (!url) throw new Error('the test server is not running; start the tests with npm test');
  return url;
}

export interface TestDatabase {
  url: string;
  /** A connection that sees everything: for inspection only. */
  admin: pg.Client;
  /** Drops the database. @throws Error when a connection to it is still open */
  drop(): Promise<void>;
}

function withDatabase(url: string, name: string): string {
  const changed = new URL(url);
  changed.pathname = `/${name}`;
  return changed.href;
}

/** Clones the migrated template into a database for one test file. */
export function cloneDatabase(): Promise<TestDatabase> {
  return createDatabase('template weephole_template strategy file_copy');
}

/**
 * Creates a database on a server of its own, for tests that would notice the transactions of other
 * files on the shared server.
 */
export async function databaseApart(): Promise<TestDatabase> {
  const server = await startOwnPostgres();
  await ensureLogins(server.url);
  const admin = new pg.Client({ connectionString: server.url });
  await admin.connect();
  const name = new URL(server.url).pathname.slice(1);
  return {
    url: server.url,
    admin,
    async drop() {
      try {
        await untilNobodyElse(admin, name);
      } finally {
        await admin.end();
        await server.remove();
      }
    },
  };
}

/**
 * Waits for other connections to disappear, which takes a moment after their clients have ended.
 * @throws Error when one stays
 */
async function untilNobodyElse(client: pg.Client, database: string): Promise<void> {
  for (let tries = 0; ; tries++) {
    const { rows } = await client.query<{ who: string }>(
      'select application_name as who from pg_stat_activity where datname = $1 and pid <> pg_backend_pid()',
      [database],
    );
    if (rows.length === 0) return;
    if (tries > 40)
      throw new Error(
        `the test left ${rows.length} connections open: ${rows.map((row) => row.who).join(', ')}`,
      );
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
}

/** Creates an empty database. */
export function emptyDatabase(): Promise<TestDatabase> {
  return createDatabase('');
}

async function createDatabase(how: string): Promise<TestDatabase> {
  const name = `test_${randomBytes(6).toString('hex')}`;
  const server = new pg.Client({ connectionString: serverUrl() });
  await server.connect();
  await server.query(`create database ${name} ${how}`);
  await server.end();
  const url = withDatabase(serverUrl(), name);
  const admin = new pg.Client({ connectionString: url });
  await admin.connect();
  return {
    url,
    admin,
    async drop() {
      await admin.end();
      const closing = new pg.Client({ connectionString: serverUrl() });
      await closing.connect();
      try {
        await untilNobodyElse(closing, name);
        await closing.query(`drop database ${name}`);
      } finally {
        await closing.end();
      }
    },
  };
}
