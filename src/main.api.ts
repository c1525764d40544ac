import 'reflect-metadata';
import { buildApi } from './bootstrap.js';
import { configFor, openDatabase, prepareEmbedded, run } from './startup.js';

/** The API alone. */
run(async (lifetime) => {
  const database = await openDatabase(process.env);
  lifetime.closing(async () => database.server?.stop());
  await prepareEmbedded(database);
  const config = configFor(process.env, database);
  const app = await buildApi(config, { withWorker: false });
  lifetime.closing(() => app.close());
  await app.listen(config.port, config.host);
  process.stderr.write(`Weephole's API listens on ${await app.getUrl()}\n`);
});
