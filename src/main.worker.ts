import 'reflect-metadata';
import { buildWorker } from './bootstrap.js';
import { configFor, joinDatabase, run } from './startup.js';

/** The worker alone. */
run(async (lifetime) => {
  const database = await joinDatabase(process.env);
  lifetime.closing(async () => database.server?.stop());
  const app = await buildWorker(configFor(process.env, database));
  lifetime.closing(() => app.close());
  await app.init();
  process.stderr.write('Weephole worker is at work\n');
});
