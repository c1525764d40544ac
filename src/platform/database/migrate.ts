import { runMigrations as migrateQueueSchema } from 'bullmq';
import pg from 'pg';
import { buildDataSource, type DatabaseSchema } from './data-source.js';
import { ensureRoles } from './roles.js';

/** Any number that no other program on the same database is likely to use. */
const MIGRATION_LOCK = 0x77656570;

/** The schema in which the queue keeps its tables when PostgreSQL serves as the queue. */
export const QUEUE_SCHEMA = 'bullmq';

/**
 * Brings the database up to date: roles, tables, and the queue's own schema. Several processes may call it at once; one does the
 * work, the others wait and find nothing left to do.
 *
 * @returns the names of the migrations that were applied
 */
export async function migrate(databaseUrl: string, schema: DatabaseSchema): Promise<string[]> {
  const client = new pg.Client({ connectionString: databaseUrl, application_name: 'weephole migrate' });
  await client.connect();
  try {
    await client.query('select pg_advisory_lock($1)', [MIGRATION_LOCK]);
    await ensureRoles(client);
    const dataSource = buildDataSource({
      url: databaseUrl,
      role: 'weephole_owner',
      poolSize: 2,
      applicationName: 'weephole migrate',
      schema,
    });
    await dataSource.initialize();
    try {
      const applied = await dataSource.runMigrations();
      // So that readiness can tell whether the database is up to date.
      await dataSource.query('grant select on schema_migrations to weephole_app');
      await migrateQueueSchema(client, QUEUE_SCHEMA);
      return applied.map((migration) => migration.name);
    } finally {
      await dataSource.destroy();
    }
  } finally {
    await client.end();
  }
}
