import 'reflect-metadata';
import { migrate, migrateQueue } from './platform/database/migrate.js';
import { schema } from './schema.js';
import { configFor, joinDatabase, run } from './startup.js';

/** Brings the database up to date, and ends. */
run(async (lifetime) => {
  const database = await joinDatabase(process.env);
  lifetime.closing(async () => database.server?.stop());
  const applied = await migrate(database.url, schema);
  const { queue, databaseUrl } = configFor(process.env, database);
  if (queue.kind === 'postgres' && queue.url !== databaseUrl) await migrateQueue(queue.url);
  process.stderr.write(
    applied.length === 0 ? 'The database is up to date.\n' : `Applied ${applied.join(', ')}.\n`,
  );
  await lifetime.end();
});
