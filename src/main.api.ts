import 'reflect-metadata';
import { buildApi } from './bootstrap.api.js';
import { prepareEmbedded } from './prepare-embedded.js';
import { configFor, openDatabase, run, say } from './startup.js';

/** Runs the API alone. */
run(async (lifetime) => {
  const database = await lifetime.opening(
    openDatabase(process.env, { onProgress: say, lifetime }),
    async ({ server }) => server?.stop(),
  );
  await lifetime.opening(prepareEmbedded(database), async () => undefined);
  const config = configFor(process.env, database);
  const app = await lifetime.opening(buildApi(config, { withWorker: false }), (built) => built.close());
  await app.listen(config.port, config.host);
  say(`Weephole's API listens on ${await app.getUrl()}`);
});
