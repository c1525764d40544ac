import { spawn } from 'node:child_process';
import { randomBytes } from 'node:crypto';
import {
  chmodSync,
  chownSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { basename, join } from 'node:path';
import { handOver, type Account } from './account.js';
import { cannotRun, serverEnvironment, type Binaries } from './binaries.js';
import { EmbeddedPostgresError, errorCode, lastLines } from './embedded-error.js';
import type { Place } from './place.js';

/**
 * Whether there is a cluster to open. Throws when the directory holds something else, or a cluster
 * of another major version.
 */
export function hasCluster(place: Place, major: number): boolean {
  const { cluster } = place;
  if (!existsSync(cluster)) return false;
  let found: string;
  try {
    found = readFileSync(join(cluster, 'PG_VERSION'), 'utf8').trim();
  } catch (error) {
    if (errorCode(error) === 'EACCES') {
      throw new EmbeddedPostgresError(
        `The database in ${cluster} belongs to another user (uid ${statSync(cluster).uid}), who started the service ` +
          'here before. Start it as that user (or root), or set WEEPHOLE_DATA_DIR to another directory.',
      );
    }
    if (errorCode(error) !== 'ENOENT') throw error;
    if (readdirSync(cluster).length === 0) return false;
    throw new EmbeddedPostgresError(
      `${cluster} is neither empty nor a PostgreSQL database (it has no PG_VERSION). Nothing was changed. Move it ` +
        'away, or set WEEPHOLE_DATA_DIR to another directory.',
    );
  }
  if (found !== String(major)) {
    throw new EmbeddedPostgresError(
      `The database in ${cluster} was made by PostgreSQL ${found}; this version of the service brings PostgreSQL ` +
        `${major}, which cannot open it. Nothing was changed. To keep the data, start the version of the service that ` +
        `made it, save the data with pg_dump, and load it into an empty data directory of this version; to start ` +
        'empty, move the directory away or set WEEPHOLE_DATA_DIR to another one.',
    );
  }
  return true;
}

/**
 * Restores the owner and mode that PostgreSQL insists on. Copying a cluster by hand tends to change
 * them.
 */
export function repairOwnership(place: Place): void {
  const { uid, mode } = statSync(place.cluster);
  if (place.account && uid !== place.account.uid) handOver(place.cluster, place.account);
  if ((mode & 0o077) !== 0) chmodSync(place.cluster, 0o700);
}

/**
 * Creates the cluster under a temporary name and renames it once it is complete, password included.
 * An interrupted attempt leaves nothing that looks like a database.
 */
export async function createCluster(place: Place, binaries: Binaries, durable: boolean): Promise<void> {
  const prefix = `${basename(place.cluster)}.unfinished-`;
  for (const entry of readdirSync(place.home)) {
    if (entry.startsWith(prefix))
      rmSync(join(place.home, entry), { recursive: true, force: true, maxRetries: 5 });
  }
  const directory = join(place.home, prefix + randomBytes(4).toString('hex'));
  const passwordPath = `${directory}.password`;
  const give = (path: string) => place.account && chownSync(path, place.account.uid, place.account.gid);
  try {
    mkdirSync(directory, { mode: 0o700 });
    give(directory);
    writeFileSync(passwordPath, randomBytes(24).toString('base64url'), { mode: 0o600, flag: 'wx' });
    give(passwordPath);
    await initdb(binaries.initdb, place.account, [
      `--pgdata=${directory}`,
      '--username=postgres',
      `--pwfile=${passwordPath}`,
      '--auth=scram-sha-256',
      '--encoding=UTF8',
      // The C collation sorts the same on every machine, whatever locales are installed.
      '--locale=C',
      '--locale-provider=builtin',
      '--builtin-locale=C.UTF-8',
      '--no-instructions',
      ...(durable ? [] : ['--no-sync']),
    ]);
    renameSync(passwordPath, passwordFile(directory));
    renameSync(directory, place.cluster);
  } finally {
    rmSync(directory, { recursive: true, force: true });
    rmSync(passwordPath, { force: true });
  }
}

/**
 * The password file is inside the cluster, because both are moved, backed up and restored together.
 */
function passwordFile(cluster: string): string {
  return join(cluster, 'weephole.password');
}

export function clusterUrl(cluster: string, port: number, database: string): string {
  const path = passwordFile(cluster);
  try {
    return `postgres://postgres:${readFileSync(path, 'utf8').trim()}@127.0.0.1:${port}/${database}`;
  } catch (error) {
    throw new EmbeddedPostgresError(
      `The password of the embedded PostgreSQL cannot be read from ${path} (${errorCode(error)}). It was made together ` +
        'with the database; take it from where the directory was copied from.',
    );
  }
}

async function initdb(program: string, account: Account | undefined, args: string[]): Promise<void> {
  const child = spawn(program, args, {
    ...account,
    cwd: '/',
    env: serverEnvironment(),
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  let output = '';
  child.stdout.on('data', (chunk: Buffer) => (output += chunk.toString()));
  child.stderr.on('data', (chunk: Buffer) => (output += chunk.toString()));
  const failure = await new Promise<string | null>((settle) => {
    child.once('error', (error) => settle(cannotRun(program, error)));
    child.once('close', (code, signal) =>
      settle(code === 0 ? null : `initdb ended with ${signal ?? `code ${code}`}`),
    );
  });
  if (failure)
    throw new EmbeddedPostgresError(
      `The database could not be created: ${failure}.\n${lastLines(output, 20)}`,
    );
}
