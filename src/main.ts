import 'reflect-metadata';
import { buildApi } from './bootstrap.js';
import { configFor, openDatabase, prepareEmbedded, run } from './startup.js';

/** API and worker in one process: the embedded default, and a small shop's whole deployment. */
run(async (lifetime) => {
  const database = await openDatabase(process.env, (what) => process.stderr.write(`${what}\n`));
  lifetime.closing(async () => database.server?.stop());
  await prepareEmbedded(database);
  const config = configFor(process.env, database);
  const app = await buildApi(config, { withWorker: true });
  lifetime.closing(() => app.close());
  await app.listen(config.port, config.host);
  process.stderr.write(`Weephole listens on ${await app.getUrl()}\n`);
});
