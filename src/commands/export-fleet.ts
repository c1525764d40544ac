import { message } from './messages.js';
import { createWriteStream } from 'node:fs';
import { open, rename, rm } from 'node:fs/promises';
import { Writable } from 'node:stream';
import { parseArgs } from 'node:util';
import { exportFleet } from '../keeping/fleet-data/export-fleet.js';
import { ConfigError } from '../platform/config/config.js';
import { openFileStore } from '../platform/storage/open-file-store.js';
import { configFor, joinDatabase, run } from '../startup.js';

const USAGE = 'npm run export -- --fleet ID --out fleet.zip';

/** Writes all data of a fleet into one archive, and prints its contents as JSON. */
run(async (lifetime) => {
  const { fleetId, out } = readArguments();
  const database = await joinDatabase(process.env);
  lifetime.closing(async () => database.server?.stop());
  const store = await openFileStore(configFor(process.env, database).attachments);
  lifetime.closing(async () => store.close());
  const isStandardOutput = out === '-';
  // Written under a temporary name until it is complete, so that nobody takes an incomplete archive
  // for the whole.
  const part = `${out}.part`;
  if (!isStandardOutput) await assertNew(out);
  const file = isStandardOutput ? process.stdout : createWriteStream(part, { mode: 0o600 });
  if (!isStandardOutput) lifetime.closing(() => rm(part, { force: true }));
  const archive = Writable.toWeb(file) as WritableStream<Uint8Array>;
  const manifest = await exportFleet(database.url, { fleetId, store, archive, now: new Date() });
  if (!isStandardOutput) await rename(part, out);
  const { tables, attachments } = manifest;
  const rows = Object.fromEntries(tables.map((table) => [table.table, table.rows]));
  const told = `${JSON.stringify({ fleet: manifest.fleet, out, rows, attachments }, null, 2)}\n`;
  (isStandardOutput ? process.stderr : process.stdout).write(told);
  await lifetime.end();
});

/** @throws ConfigError when the file already exists or cannot be written */
async function assertNew(path: string): Promise<void> {
  const file = await open(path, 'wx', 0o600).catch((error: NodeJS.ErrnoException) => {
    throw new ConfigError(
      error.code === 'EEXIST'
        ? message('command-file-exists', { path })
        : message('command-file-not-writable', { path, why: error.message }),
    );
  });
  await file.close();
  await rm(path);
}

function readArguments(): { fleetId: string; out: string } {
  const { values } = parseArgs({ options: { fleet: { type: 'string' }, out: { type: 'string' } } });
  if (!values.fleet || !values.out) throw new ConfigError(message('command-usage', { usage: USAGE }));
  return { fleetId: values.fleet, out: values.out };
}
