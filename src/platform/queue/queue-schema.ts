import { runMigrations as migrateQueueSchema } from 'bullmq';
import pg from 'pg';
import { QUEUES } from './queues.js';

/** The schema of the queue's tables when PostgreSQL serves as the queue. */
export const QUEUE_SCHEMA = 'bullmq';

/**
 * Creates the queue's tables in a database, be it the main one or another. Where the application's
 * role exists, grants it access: the service may run with a different login from the one that
 * migrates.
 */
export async function prepareQueue(client: pg.Client): Promise<void> {
  await migrateQueueSchema(client, QUEUE_SCHEMA);
  const { rows } = await client.query("select from pg_roles where rolname = 'weephole_app'");
  if (rows.length === 0) return;
  // Otherwise the queue would create a sequence for each queue on first use, and its login would
  // need the right to create objects there.
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

/** Creates the queue's tables in a separate PostgreSQL. */
export async function migrateQueue(queueUrl: string): Promise<void> {
  const client = new pg.Client({ connectionString: queueUrl, application_name: 'weephole migrate' });
  await client.connect();
  try {
    await prepareQueue(client);
  } finally {
    await client.end();
  }
}
