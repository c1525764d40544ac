import pg from 'pg';
import { type Migrations, missingMigrations } from './missing-migrations.js';

/**
 * Migrates the database if it lacks migrations. The migration code takes longer to load than
 * everything else a command needs, so it is loaded only when needed.
 */
export async function bringUpToDate(databaseUrl: string, schema: Migrations): Promise<void> {
  if (await isUpToDate(databaseUrl, schema)) return;
  const { migrate } = await import('./migrate.js');
  await migrate(databaseUrl, schema);
}

async function isUpToDate(databaseUrl: string, { migrations }: Migrations): Promise<boolean> {
  const client = new pg.Client({ connectionString: databaseUrl, application_name: 'weephole migrate' });
  try {
    await client.connect();
    const missing = await missingMigrations(
      migrations.map(({ name }) => name),
      async (statement) => (await client.query<{ name: string }>(statement)).rows,
    );
    return missing.length === 0;
  } catch {
    // Migrating runs into the same fault and reports it.
    return false;
  } finally {
    await client.end();
  }
}
