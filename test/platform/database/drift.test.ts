import { readFile, writeFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import type { DataSource } from 'typeorm';
import { openDataSource } from '../../../src/platform/database/data-source.js';
import { migrate } from '../../../src/platform/migration/migrate.js';
import { schema } from '../../../src/schema.js';
import { catalogueOf } from '../../support/catalogue.js';
import { cloneDatabase, emptyDatabase, type TestDatabase } from '../../support/database.js';

const SNAPSHOT = fileURLToPath(new URL('catalogue.snapshot.txt', import.meta.url));

/**
 * Set it to write the snapshot anew, after a migration that is meant: UPDATE_CATALOGUE=true npm
 * test -- test/platform/database/drift.test.ts
 */
const isUpdating = process.env.UPDATE_CATALOGUE === 'true';

describe('the database', () => {
  let database: TestDatabase;
  let owner: DataSource;

  beforeAll(async () => {
    database = await cloneDatabase();
    owner = await ownerOf(database);
  });
  afterAll(async () => {
    await owner.destroy();
    await database.drop();
  });

  function ownerOf({ url }: TestDatabase): Promise<DataSource> {
    return openDataSource({
      url,
      role: 'weephole_owner',
      poolSize: 2,
      applicationName: 'test drift',
      schema,
    });
  }

  it('matches the entities', async () => {
    const { upQueries, downQueries } = await owner.driver.createSchemaBuilder().log();
    expect(upQueries.map(({ query }) => query)).toEqual([]);
    expect(downQueries.map(({ query }) => query)).toEqual([]);
  });

  it('differs from the entities when either changes, so the test above can fail', async () => {
    const other = await cloneDatabase();
    const changed = await ownerOf(other);
    await changed.query('alter table depots add column colour text');
    await changed.query('alter table depots no force row level security');
    const { upQueries } = await changed.driver.createSchemaBuilder().log();
    expect(upQueries.map(({ query }) => query)).toEqual(['ALTER TABLE "depots" DROP COLUMN "colour"']);
    const before = (await catalogueOf(database.admin)).split('\n');
    const after = (await catalogueOf(other.admin)).split('\n');
    expect(after.filter((line) => !before.includes(line))).toHaveLength(2);
    await changed.destroy();
    await other.drop();
  });

  it('matches the snapshot of its catalogue: columns, keys, checks, indexes, policies, grants, functions, roles', async () => {
    const actual = await catalogueOf(database.admin);
    expect(actual.split('\n').length).toBeGreaterThan(300);
    if (isUpdating) await writeFile(SNAPSHOT, actual);
    const expected = await readFile(SNAPSHOT, 'utf8');
    const lines = expected.split('\n');
    const found = actual.split('\n');
    expect({
      'only in the database': found.filter((line) => !lines.includes(line)),
      'only in catalogue.snapshot.txt (UPDATE_CATALOGUE=true writes it anew)': lines.filter(
        (line) => !found.includes(line),
      ),
    }).toEqual({
      'only in the database': [],
      'only in catalogue.snapshot.txt (UPDATE_CATALOGUE=true writes it anew)': [],
    });
    expect(actual).toBe(expected);
  });

  it('is empty when its migrations are undone, and the same when they run again', async () => {
    const other = await cloneDatabase();
    const before = await catalogueOf(other.admin);
    const dataSource = await ownerOf(other);
    for (const _migration of schema.migrations) await dataSource.undoLastMigration();
    const { rows } = await other.admin.query(
      `select relname from pg_class where relnamespace = 'public'::regnamespace and relkind in ('r', 'p', 'v', 'm', 'S')
         and relname not like 'schema_migrations%'
       union all select proname from pg_proc where pronamespace = 'public'::regnamespace
       union all select typname from pg_type where typnamespace = 'public'::regnamespace and typname !~ '^_?schema_migrations$'`,
    );
    expect(rows).toEqual([]);
    await dataSource.destroy();
    expect(await migrate(other.url, schema)).toEqual(schema.migrations.map(({ name }) => name));
    expect(await catalogueOf(other.admin)).toBe(before);
    await other.drop();
  });

  it('is made once when several processes find it empty at the same time', async () => {
    const empty = await emptyDatabase();
    const applied = await Promise.all(Array.from({ length: 3 }, () => migrate(empty.url, schema)));
    expect(applied.map((names) => names.length).sort()).toEqual([0, 0, schema.migrations.length]);
    expect(await catalogueOf(empty.admin)).toBe(await catalogueOf(database.admin));
    expect(await migrate(empty.url, schema)).toEqual([]);
    await empty.drop();
  });
});
