import { runMigrations as migrateQueueSchema } from 'bullmq';
import pg from 'pg';
import { QUEUES } from './queues.js';

/** The schema in which the queue keeps its tables when PostgreSQL serves as the queue. */
export const QUEUE_SCHEMA = 'bullmq';

/**
 * Makes the queue's own tables in a database, main or other. Where the application's role exists
 * there, it may use them: the login the service runs with need not be the one that migrates.
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
