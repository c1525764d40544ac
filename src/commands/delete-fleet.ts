import { message } from './messages.js';
import { parseArgs } from 'node:util';
import { deleteFleet } from '../keeping/fleet-data/delete-fleet.js';
import { ConfigError } from '../platform/config/config.js';
import { openFileStore } from '../platform/storage/open-file-store.js';
import { configFor, joinDatabase, run } from '../startup.js';

const USAGE = 'npm run delete-fleet -- --fleet ID --confirm "NAME OF THE FLEET" [--files-are-gone]';

/**
 * Deletes a fleet with all its data, and prints as JSON what was deleted. Only a backup can bring
 * it back.
 */
run(async (lifetime) => {
  const request = readArguments();
  const database = await joinDatabase(process.env);
  lifetime.closing(async () => database.server?.stop());
  const store = await openFileStore(configFor(process.env, database).attachments);
  lifetime.closing(async () => store.close());
  const deleted = await deleteFleet(database.url, { ...request, store });
  process.stdout.write(`${JSON.stringify(deleted, null, 2)}\n`);
  await lifetime.end();
});

function readArguments(): { fleetId: string; confirm: string; filesAreGone: boolean } {
  const { values } = parseArgs({
    options: {
      fleet: { type: 'string' },
      confirm: { type: 'string' },
      'files-are-gone': { type: 'boolean', default: false },
    },
  });
  if (!values.fleet || values.confirm === undefined)
    throw new ConfigError(message('command-usage', { usage: USAGE }));
  return { fleetId: values.fleet, confirm: values.confirm, filesAreGone: values['files-are-gone'] };
}
