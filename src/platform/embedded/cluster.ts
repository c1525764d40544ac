import { spawn } from 'node:child_process';
import { createHash, randomBytes } from 'node:crypto';
import {
  chmodSync,
  chownSync,
  cpSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  realpathSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, dirname, join } from 'node:path';
import { canReach, handOver, isRoot, postgresAccount, type Account } from './account.js';
import { cannotRun, serverEnvironment, type Binaries } from './binaries.js';
import { EmbeddedPostgresError, errorCode, lastLines } from './embedded-error.js';
import { stopLeftover } from './postmaster.js';

/** Where a cluster lives and whose it is. */
export interface Place {
  /**
   * Holds the cluster and, where needed, a copy of the programs; the data directory itself unless
   * root runs us.
   */
  home: string;
  cluster: string;
  /** Set when the service runs as root. */
  account?: Account;
}

/**
 * Decides where the cluster of a data directory is or will be.
 *
 * Normally that is `<dataDir>/postgres`. Root is the exception: its PostgreSQL runs as another
 * user, and that user cannot get into a directory below, say, /root, whatever the cluster's own
 * mode. Opening /root to others is not ours to do, so the cluster then goes to /var/lib under a
 * name made from the data directory's path (the same directory finds the same cluster; two
 * directories never share one), and `<dataDir>/postgres.location` says where.
 */
export async function choosePlace(dataDir: string, onProgress: (message: string) => void): Promise<Place> {
  const record = join(dataDir, 'postgres.location');
  const recorded = existsSync(record) ? readFileSync(record, 'utf8').trim() : undefined;
  if (!isRoot()) {
    if (recorded) {
      throw new EmbeddedPostgresError(
        `The database of ${dataDir} was made by root and lies in ${recorded}. Start the service as root again, or set ` +
          'WEEPHOLE_DATA_DIR to another directory.',
      );
    }
    return { home: dataDir, cluster: join(dataDir, 'postgres') };
  }
  const known = join(recorded ?? dataDir, 'postgres');
  const home = dirname(known);
  if (recorded) mkdirSync(home, { recursive: true });
  const existing = existsSync(known) && readdirSync(known).length > 0 ? statSync(known) : undefined;
  // Made by an ordinary user, now started by root (sudo): it stays that user's.
  const account =
    existing && existing.uid !== 0 ? { uid: existing.uid, gid: existing.gid } : postgresAccount();
  if (!recorded && !canReach(account, dataDir)) letThrough(dataDir);
  if (canReach(account, home)) return { home, cluster: known, account };

  const elsewhere = reachableHome(dataDir, account);
  const place = { home: elsewhere, cluster: join(elsewhere, 'postgres'), account };
  if (elsewhere === home) return place;
  await setLeftoverAside(place, onProgress);
  if (existing) {
    await stopLeftover(known);
    move(known, place.cluster);
    onProgress(`The database was moved from ${known} to ${place.cluster}, where PostgreSQL can reach it.`);
  }
  writeFileSync(record, `${elsewhere}\n`);
  return place;
}

/**
 * Lets other users pass through the data directory, not list or read it, where it is root's own:
 * the umask or mkdtemp may have closed it, and all that is secret in it has modes of its own.
 */
function letThrough(dataDir: string): void {
  const { uid, mode } = statSync(dataDir);
  if (uid === 0) chmodSync(dataDir, (mode & 0o777) | 0o011);
}

function move(from: string, to: string): void {
  try {
    renameSync(from, to);
  } catch (error) {
    if (errorCode(error) !== 'EXDEV') throw error;
    const unfinished = `${to}.unfinished-${randomBytes(4).toString('hex')}`;
    cpSync(from, unfinished, { recursive: true, preserveTimestamps: true });
    renameSync(unfinished, to);
    renameSync(from, `${from}.moved`);
  }
}

function reachableHome(dataDir: string, account: Account): string {
  const key = createHash('sha256').update(realpathSync(dataDir)).digest('hex').slice(0, 12);
  // The temporary directory is the last resort: systems empty it.
  for (const parent of ['/var/lib', tmpdir()]) {
    const home = join(parent, `weephole-${key}`);
    try {
      mkdirSync(home, { recursive: true });
      if (statSync(home).uid !== 0) continue;
      chmodSync(home, 0o755);
      if (canReach(account, home)) return home;
    } catch {
      continue;
    }
  }
  throw new EmbeddedPostgresError(
    `PostgreSQL does not run as root, and the user "postgres" can reach neither ${dataDir} nor /var/lib. Set ` +
      'WEEPHOLE_DATA_DIR to a directory that user can reach, or DATABASE_URL to a PostgreSQL server.',
  );
}

/**
 * A data directory that was deleted was meant to start empty; what it had outside itself is kept,
 * under another name.
 */
async function setLeftoverAside(place: Place, onProgress: (message: string) => void): Promise<void> {
  if (!existsSync(place.cluster)) return;
  await stopLeftover(place.cluster);
  const aside = `${place.cluster}.${new Date().toISOString().replaceAll(':', '-')}`;
  renameSync(place.cluster, aside);
  onProgress(`An earlier database of a data directory at this path, since removed, was kept as ${aside}.`);
}

/**
 * Whether there is a cluster to open; throws when what is there is something else, or of another
 * major version.
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
 * Puts right what copying a cluster about by hand gets wrong and PostgreSQL refuses: its owner and
 * its mode.
 */
export function repairOwnership(place: Place): void {
  const { uid, mode } = statSync(place.cluster);
  if (place.account && uid !== place.account.uid) handOver(place.cluster, place.account);
  if ((mode & 0o077) !== 0) chmodSync(place.cluster, 0o700);
}

/**
 * Creates the cluster beside its final name and renames it when it is complete, password included:
 * an interrupted attempt leaves nothing that could be taken for a database.
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
      // PostgreSQL's own collation: the same order on every machine, whatever locales it has.
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

/** Within the cluster, so that the two are moved, backed up and restored together. */
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
