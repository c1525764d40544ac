import 'reflect-metadata';
import { rebuildAll } from '../conclusions/pipeline/rebuild.js';
import { Clock } from '../platform/clock/clock.js';
import { schema } from '../schema.js';
import { OPERATOR } from '../platform/words/operator-language.js';
import { textOf } from '../platform/words/render.js';
import { message } from './messages.js';
import { joinDatabase, run } from '../startup.js';

/** Recomputes everything from history and prints what differs. Exits with 1 when something does. */
run(async (lifetime) => {
  const database = await joinDatabase(process.env);
  lifetime.closing(async () => database.server?.stop());
  const { vehicles, differences } = await rebuildAll({
    databaseUrl: database.url,
    schema,
    clock: new Clock(),
    onProgress: (done) =>
      process.stderr.write(`\r${textOf(message('command-vehicles', { done }), OPERATOR)}`),
  });
  process.stderr.write('\n');
  for (const { unitNumber, what } of differences) process.stdout.write(`${unitNumber}: ${what}\n`);
  const done = message('command-rebuilt', { vehicles, differences: differences.length });
  process.stdout.write(`${textOf(done, OPERATOR)}\n`);
  await lifetime.end();
  process.exit(differences.length === 0 ? 0 : 1);
});
