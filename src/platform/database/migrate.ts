import { runMigrations as migrateQueueSchema } from 'bullmq';
import pg from 'pg';
import { QUEUES } from '../queue/queues.js';
import { type DatabaseSchema, openDataSource } from './data-source.js';
import { ensureRoles } from './roles.js';

/**
 * Held by whoever changes tables, roles or logins. Any number that no other program on the same
 * database is likely to use.
 */
export const MIGRATION_LOCK = 0x77656570;

/** The schema in which the queue keeps its tables when PostgreSQL serves as the queue. */
export const QUEUE_SCHEMA = 'bullmq';

/** The first PostgreSQL that has `uuidv7()`. */
const OLDEST_MAJOR = 18;

/** @throws Error where the server lacks what the tables need */
export async function refuseOlder(client: Pick<pg.Client, 'query'>): Promise<void> {
  const { rows } = await client.query<{ number: number; version: string }>(
    "select current_setting('server_version_num')::int as number, current_setting('server_version') as version",
  );
  const [server] = rows;
  if (server && server.number < OLDEST_MAJOR * 10_000)
    throw new Error(
      `The database is PostgreSQL ${server.version}; ${OLDEST_MAJOR} or later is needed. Nothing was changed.`,
    );
}

/**
 * Brings the database up to date: roles, tables, and the queue's own schema. Several processes may call it at once; one does the
 * work, the others wait and find nothing left to do.
 *
 * @returns the names of the migrations that were applied
 * @throws Error where PostgreSQL is too old
 */
export async function migrate(databaseUrl: string, schema: DatabaseSchema): Promise<string[]> {
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
      schema,
    });
    try {
      const applied = await dataSource.runMigrations();
      // So that readiness can tell whether the database is up to date.
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

/**
 * Makes the queue's own tables in a database, main or other. Where the application's role exists there, it may use them: the
 * login the service runs with need not be the one that migrates.
 */
export async function prepareQueue(client: pg.Client): Promise<void> {
  await migrateQueueSchema(client, QUEUE_SCHEMA);
  const { rows } = await client.query("select from pg_roles where rolname = 'weephole_app'");
  if (rows.length === 0) return;
  // The queue would make a sequence for each of its queues when it first meets it, for which its
  // login would have to be able to
  // make anything there.
  for (const queue of QUEUES) {
    const { rows: names } = await client.query<{ name: string }>(
      `select format('%I.%I', '${QUEUE_SCHEMA}', ${QUEUE_SCHEMA}.job_id_seq_name($1)) as name`,
      [queue],
    );
    await client.query(`create sequence if not exists ${names[0]?.name}`);
  }
  await client.query(`grant usage on schema ${QUEUE_SCHEMA} to weephole_app`);
  await client.query(`revoke create on schema ${QUEUE_SCHEMA} from weephole_app`);
  await client.query(
    `grant select, insert, update, delete on all tables in schema ${QUEUE_SCHEMA} to weephole_app`,
  );
  await client.query(`grant usage, select on all sequences in schema ${QUEUE_SCHEMA} to weephole_app`);
  await client.query(`grant execute on all functions in schema ${QUEUE_SCHEMA} to weephole_app`);
}

/** Makes the queue's tables in a PostgreSQL of its own. */
export async function migrateQueue(queueUrl: string): Promise<void> {
  const client = new pg.Client({ connectionString: queueUrl, application_name: 'weephole migrate' });
  await client.connect();
  try {
    await prepareQueue(client);
  } finally {
    await client.end();
  }
}
