import { existsSync, readdirSync, readFileSync, realpathSync, rmSync } from 'node:fs';
import { basename, join } from 'node:path';
import { EmbeddedPostgresError } from '../src/platform/embedded/embedded-error.js';
import { message } from '../src/platform/embedded/messages.js';
import { claimOwnership } from '../src/platform/embedded/owner-lock.js';
import { stopLeftover } from '../src/platform/embedded/postmaster.js';

/** What the service puts into a data directory; anything else in it belongs to somebody else. */
const OURS = [
  /^postgres$/,
  /^postgres\.unfinished-[0-9a-f]+(\.password)?$/,
  /^postgres\.log(\.1)?$/,
  /^postgres\.location$/,
  /^binaries-[\w.-]+$/,
  /^service\.json(\.[0-9a-f]+)?$/,
  /^demo\.json(\.[0-9a-f]+)?$/,
];

const isOurs = (name: string): boolean => OURS.some((pattern) => pattern.test(name));

/** Every cluster that the service made contains the password file, and no other cluster does. */
const isOurCluster = (cluster: string): boolean =>
  existsSync(join(cluster, 'PG_VERSION')) && existsSync(join(cluster, 'weephole.password'));

/**
 * Deletes what the service put into a data directory, including the database with every fleet in
 * it.
 *
 * @throws EmbeddedPostgresError when the directory is not one of our data directories, or a running
 * service owns it; nothing is deleted then
 */
export async function startOver(dataDirectory: string): Promise<void> {
  if (!existsSync(dataDirectory) || readdirSync(dataDirectory).length === 0) return;
  const dataDir = realpathSync(dataDirectory);
  const home = homeOf(dataDir);
  const cluster = join(home, 'postgres');
  const isOnlyBegun =
    !existsSync(cluster) && readdirSync(dataDir).every((name) => isOurs(name) || name === 'owner.lock');
  if (!isOurCluster(cluster) && !isOnlyBegun) {
    throw new EmbeddedPostgresError(message('embedded-not-ours', { directory: dataDir }));
  }
  const release = await claimOwnership(dataDir);
  try {
    await stopLeftover(cluster);
    for (const place of new Set([dataDir, home])) {
      // Delete the cluster last: if this is interrupted, the directory can still be recognised as
      // ours.
      const ours = readdirSync(place).filter(isOurs);
      for (const name of ours.sort((a, b) => Number(a === 'postgres') - Number(b === 'postgres')))
        if (name !== 'postgres.location') rmSync(join(place, name), { recursive: true, force: true });
    }
    rmSync(join(dataDir, 'postgres.location'), { force: true });
  } finally {
    release();
  }
}

/**
 * Where the cluster is. A service run as root may have had to put it elsewhere, under a name
 * derived from the data directory.
 */
function homeOf(dataDir: string): string {
  const record = join(dataDir, 'postgres.location');
  if (!existsSync(record)) return dataDir;
  const home = readFileSync(record, 'utf8').trim();
  if (/^weephole-[0-9a-f]{12}$/.test(basename(home))) return home;
  throw new EmbeddedPostgresError(message('embedded-place-unknown', { record, place: home }));
}
