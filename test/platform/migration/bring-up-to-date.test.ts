import { bringUpToDate } from '../../../src/platform/migration/bring-up-to-date.js';
import { migrate } from '../../../src/platform/migration/migrate.js';
import { MIGRATION_LOCK } from '../../../src/platform/migration/migration-lock.js';
import { schema } from '../../../src/schema.js';
import { cloneDatabase, emptyDatabase, type TestDatabase } from '../../support/database.js';

const ALL = schema.migrations.map(({ name }) => name);

async function appliedTo({ admin }: TestDatabase): Promise<string[]> {
  const { rows } = await admin.query<{ name: string }>('select name from schema_migrations order by id');
  return rows.map(({ name }) => name);
}

describe('bringing a database up to date', () => {
  it('makes the tables if there are none', async () => {
    const database = await emptyDatabase();
    await bringUpToDate(database.url, schema);
    expect(await appliedTo(database)).toEqual(ALL);
    await database.drop();
  });

  it('applies what an earlier version lacked', async () => {
    const database = await emptyDatabase();
    await migrate(database.url, { migrations: schema.migrations.slice(0, -1) });
    await bringUpToDate(database.url, schema);
    expect(await appliedTo(database)).toEqual(ALL);
    await database.drop();
  });

  it('waits for nobody if nothing is missing', async () => {
    const database = await cloneDatabase();
    await database.admin.query('select pg_advisory_lock($1)', [MIGRATION_LOCK]);
    await bringUpToDate(database.url, schema);
    expect(await appliedTo(database)).toEqual(ALL);
    await database.drop();
  });

  it('says what is wrong with a database that does not answer', async () => {
    const database = await emptyDatabase();
    const missing = database.url.replace(/[^/]+$/, 'no_such_database');
    await expect(bringUpToDate(missing, schema)).rejects.toThrow(
      'database "no_such_database" does not exist',
    );
    await database.drop();
  });
});
