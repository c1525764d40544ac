import 'reflect-metadata';
import { buildApi } from './bootstrap.api.js';
import { prepareEmbedded } from './prepare-embedded.js';
import { configFor, openDatabase, run, say } from './startup.js';

/**
 * Runs API and worker in one process: the default with the embedded PostgreSQL, and all that a
 * small shop needs.
 */
run(async (lifetime) => {
  const database = await lifetime.opening(
    openDatabase(process.env, { onProgress: say, lifetime }),
    async ({ server }) => server?.stop(),
  );
  await lifetime.opening(prepareEmbedded(database), async () => undefined);
  const config = configFor(process.env, database);
  const app = await lifetime.opening(buildApi(config, { withWorker: true }), (built) => built.close());
  await app.listen(config.port, config.host);
  say(`Weephole listens on ${await app.getUrl()}`);
});
