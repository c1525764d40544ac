import { cloneDatabase, type TestDatabase } from '../../support/database.js';

/**
 * Tables that belong to no fleet: the fleets themselves (by `id`), the record of migrations, the
 * request counts per minute, and the live workers.
 */
const OF_NO_FLEET = ['fleets', 'schema_migrations', 'request_counts', 'workers'];

/** A token is looked up before its fleet is known, so its hash is unique over all fleets. */
const ACROSS_FLEETS = ['access_tokens_hash_uq', 'sessions_hash_uq', 'sign_in_links_hash_uq'];

describe('every table can be distributed by fleet', () => {
  let database: TestDatabase;

  beforeAll(async () => {
    database = await cloneDatabase();
  });
  afterAll(() => database.drop());

  it('because each primary key and each unique index contains fleet_id', async () => {
    const { rows } = await database.admin.query<{ name: string; columns: string[] }>(
      `select i.indexrelid::regclass::text as name, array_agg(a.attname::text) as columns
       from pg_index i join pg_class t on t.oid = i.indrelid and t.relnamespace = 'public'::regnamespace
       join pg_attribute a on a.attrelid = t.oid and a.attnum = any(i.indkey)
       where i.indisunique and t.relname <> all($1) group by 1`,
      [OF_NO_FLEET],
    );
    expect(rows.length).toBeGreaterThan(20);
    const without = rows.filter(({ columns }) => !columns.includes('fleet_id')).map(({ name }) => name);
    expect(without).toEqual(ACROSS_FLEETS);
  });

  it('because each foreign key leads from a fleet to the same fleet', async () => {
    const { rows } = await database.admin.query<{ name: string; pairs: string[] }>(
      `select c.conname::text as name, array_agg(a.attname || ' = ' || b.attname) as pairs
       from pg_constraint c
       cross join lateral unnest(c.conkey, c.confkey) as k(here, there)
       join pg_attribute a on a.attrelid = c.conrelid and a.attnum = k.here
       join pg_attribute b on b.attrelid = c.confrelid and b.attnum = k.there
       where c.contype = 'f' and c.connamespace = 'public'::regnamespace group by 1`,
    );
    expect(rows.length).toBeGreaterThan(20);
    const across = rows.filter(
      ({ pairs }) => !pairs.includes('fleet_id = fleet_id') && !pairs.includes('fleet_id = id'),
    );
    expect(across).toEqual([]);
  });
});
