import 'reflect-metadata';
import { buildWorker } from './bootstrap.worker.js';
import { prepareEmbedded } from './prepare-embedded.js';
import { configFor, joinDatabase, run, say } from './startup.js';

/** Runs the worker alone. */
run(async (lifetime) => {
  const database = await lifetime.opening(
    joinDatabase(process.env, { onProgress: say, lifetime }),
    async ({ server }) => server?.stop(),
  );
  await lifetime.opening(prepareEmbedded(database), async () => undefined);
  const app = await lifetime.opening(buildWorker(configFor(process.env, database)), (built) => built.close());
  await app.init();
  say('Weephole worker is at work');
});
