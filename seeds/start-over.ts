import { existsSync, readdirSync, readFileSync, realpathSync, rmSync } from 'node:fs';
import { basename, join } from 'node:path';
import { EmbeddedPostgresError } from '../src/platform/embedded/embedded-error.js';
import { claimOwnership } from '../src/platform/embedded/owner-lock.js';
import { stopLeftover } from '../src/platform/embedded/postmaster.js';

/** What the service puts into a data directory; whatever else lies there is somebody's. */
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

/** The password lies in every cluster that the service made, and in no other. */
const isOurCluster = (cluster: string): boolean =>
  existsSync(join(cluster, 'PG_VERSION')) && existsSync(join(cluster, 'weephole.password'));

/**
 * Empties a data directory of what the service made there, the database with every fleet in it
 * included.
 *
 * @throws EmbeddedPostgresError when the directory is not a data directory of ours, or a running
 * service owns it; nothing is removed then
 */
export async function startOver(dataDirectory: string): Promise<void> {
  if (!existsSync(dataDirectory) || readdirSync(dataDirectory).length === 0) return;
  const dataDir = realpathSync(dataDirectory);
  const home = homeOf(dataDir);
  const cluster = join(home, 'postgres');
  const isOnlyBegun =
    !existsSync(cluster) && readdirSync(dataDir).every((name) => isOurs(name) || name === 'owner.lock');
  if (!isOurCluster(cluster) && !isOnlyBegun) {
    throw new EmbeddedPostgresError(
      `${dataDir} is not empty, and holds no database of Weephole: --fresh removes nothing there. Set WEEPHOLE_DATA_DIR to another ` +
        'directory, or leave --fresh out.',
    );
  }
  const release = await claimOwnership(dataDir);
  try {
    await stopLeftover(cluster);
    for (const place of new Set([dataDir, home])) {
      // The cluster goes last: cut short, the directory is still known as ours.
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
 * Where the cluster is: root may have had to put it elsewhere, under a name that is made for one
 * data directory.
 */
function homeOf(dataDir: string): string {
  const record = join(dataDir, 'postgres.location');
  if (!existsSync(record)) return dataDir;
  const home = readFileSync(record, 'utf8').trim();
  if (/^weephole-[0-9a-f]{12}$/.test(basename(home))) return home;
  throw new EmbeddedPostgresError(
    `${record} names ${home}, which is no place that Weephole uses: --fresh removes nothing.`,
  );
}
