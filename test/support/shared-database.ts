import pg from 'pg';
import type { TestDatabase } from './database.js';

/** Tables filled by the migrations or when the queue starts, not by tests. */
const KEPT = ['public.schema_migrations', 'bullmq.migration', 'bullmq.meta'];

/** The service's own connections. Any other was left behind by the tests of a file. */
const OF_SERVICE = ['weephole', 'weephole tokens', 'weephole queue', 'weephole events'];

/**
 * The URL that a file is given. It names the file's connections, so they can be told from those of
 * the service; only TypeORM uses the name in its own settings instead.
 */
export function addressForTests(url: string): string {
  const named = new URL(url);
  named.searchParams.set('application_name', 'test');
  return named.href;
}

/** From this size on, a table and its indexes would still be large after its rows are deleted. */
const LARGE_BYTES = 1024 * 1024;

const TABLES = `select format('%I.%I', nspname, relname) as name
  from pg_class join pg_namespace n on n.oid = relnamespace
  where relkind = 'r' and nspname in ('public', 'bullmq')`;

const REFUSE_NEW_SCHEMA = `create schema test_guard;
  create function test_guard.refuse() returns event_trigger language plpgsql as $$ begin
    raise 'other test files use this database; a test that changes its schema starts a service with isAlone'
      using hint = tg_tag;
  end $$;
  create event trigger test_guard on ddl_command_end execute function test_guard.refuse()`;

const RESTART_SEQUENCES = `select setval(format('%I.%I', schemaname, sequencename)::regclass, start_value, false)
  from pg_sequences where schemaname = 'bullmq' and last_value is not null`;

/** The database of a service that several test files use, one after another. */
export class SharedDatabase {
  private constructor(
    private readonly database: TestDatabase,
    private readonly tables: string[],
  ) {}

  static async of(database: TestDatabase): Promise<SharedDatabase> {
    const { rows } = await database.admin.query<{ name: string }>(TABLES);
    const tables = rows.map(({ name }) => name).filter((name) => !KEPT.includes(name));
    await database.admin.query(REFUSE_NEW_SCHEMA);
    return new SharedDatabase(database, tables);
  }

  /** Opens a connection for one file, which may leave it in any state. */
  async connect(): Promise<pg.Client> {
    const client = new pg.Client({ connectionString: this.database.url });
    await client.connect();
    return client;
  }

  /** Returns the names of connections that are not the service's own. */
  async strangers(): Promise<string[]> {
    const { rows } = await this.database.admin.query<{ who: string }>(
      `select application_name as who from pg_stat_activity
       where datname = current_database() and pid <> pg_backend_pid() and backend_type = 'client backend'`,
    );
    return rows.map(({ who }) => who || 'one without a name').filter((who) => !OF_SERVICE.includes(who));
  }

  /**
   * Empties the tables, as a new service finds them. Deletes the rows where they are few, because
   * truncating the twenty tables that a file fills takes PostgreSQL several times as long.
   */
  async empty(): Promise<void> {
    const { admin } = this.database;
    const filled = this.tables.map((name) => `select '${name}' as name where exists (select from ${name})`);
    const { rows } = await admin.query<{ name: string; isLarge: boolean }>(
      `select name, pg_table_size(name::regclass) >= ${LARGE_BYTES} as "isLarge"
       from (${filled.join(' union all ')}) filled`,
    );
    const names = rows.map(({ name }) => name);
    const emptying = rows.some(({ isLarge }) => isLarge)
      ? [`truncate ${names.join(', ')} cascade`]
      : names.map((name) => `delete from ${name}`);
    // As a replica: without foreign keys and triggers, so the order does not matter.
    const settings = "set local lock_timeout = '10s'; set local session_replication_role = replica";
    await admin.query(`begin; ${[settings, ...emptying, RESTART_SEQUENCES, 'commit'].join('; ')}`);
  }
}
