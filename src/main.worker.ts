import 'reflect-metadata';
import { buildWorker } from './bootstrap.js';
import { configFor, joinDatabase, prepareEmbedded, run } from './startup.js';

/** The worker alone. */
run(async (lifetime) => {
  const database = await lifetime.opening(joinDatabase(process.env), async ({ server }) => server?.stop());
  await lifetime.opening(prepareEmbedded(database), async () => undefined);
  const app = await lifetime.opening(buildWorker(configFor(process.env, database)), (built) => built.close());
  await app.init();
  process.stderr.write('Weephole worker is at work\n');
});
