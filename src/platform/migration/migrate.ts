import pg from 'pg';
import { ConfigError } from '../config/environment.js';
import { openDataSource } from '../database/data-source.js';
import { ensureRoles } from '../database/roles.js';
import { message } from './messages.js';
import { MIGRATION_LOCK } from './migration-lock.js';
import type { Migrations } from './missing-migrations.js';
import { prepareQueue } from '../queue/queue-schema.js';

/** The first PostgreSQL version that has `uuidv7()`. */
const OLDEST_MAJOR = 18;

/** @throws ConfigError when the server lacks something that the tables need */
export async function refuseOlder(client: Pick<pg.Client, 'query'>): Promise<void> {
  const { rows } = await client.query<{ number: number; version: string }>(
    "select current_setting('server_version_num')::int as number, current_setting('server_version') as version",
  );
  const [server] = rows;
  if (server && server.number < OLDEST_MAJOR * 10_000)
    throw new ConfigError(
      message('database-too-old', { version: server.version, oldest: String(OLDEST_MAJOR) }),
    );
}

/**
 * Brings the database up to date: roles, tables, and the queue's own schema. Several processes
 * may call it at once; one does the work, the others wait and find nothing left to do.
 *
 * @returns the names of the migrations that were applied
 * @throws ConfigError when PostgreSQL is too old
 */
export async function migrate(databaseUrl: string, { migrations }: Migrations): Promise<string[]> {
  const client = new pg.Client({ connectionString: databaseUrl, application_name: 'weephole migrate' });
  await client.connect();
  try {
    await refuseOlder(client);
    await client.query('select pg_advisory_lock($1)', [MIGRATION_LOCK]);
    await ensureRoles(client);
    const dataSource = await openDataSource({
      url: databaseUrl,
      role: 'weephole_owner',
      poolSize: 2,
      applicationName: 'weephole migrate',
      schema: { entities: [], migrations },
    });
    try {
      const applied = await dataSource.runMigrations();
      // Readiness checks read this table to see whether the database is up to date.
      await dataSource.query('grant select on schema_migrations to weephole_app');
      await prepareQueue(client);
      return applied.map((migration) => migration.name);
    } finally {
      await dataSource.destroy();
    }
  } finally {
    await client.end();
  }
}
