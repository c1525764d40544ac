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
import type { Message } from '../../domain/message.js';
import { handOver, type Account } from './account.js';
import { cannotRun, endedWith, serverEnvironment, type Binaries } from './binaries.js';
import { EmbeddedPostgresError, errorCode, lastLines } from './embedded-error.js';
import { message } from './messages.js';
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
      const uid = String(statSync(cluster).uid);
      throw new EmbeddedPostgresError(message('embedded-cluster-of-other-user', { cluster, uid }));
    }
    if (errorCode(error) !== 'ENOENT') throw error;
    if (readdirSync(cluster).length === 0) return false;
    throw new EmbeddedPostgresError(message('embedded-not-a-cluster', { cluster }));
  }
  if (found !== String(major)) {
    throw new EmbeddedPostgresError(
      message('embedded-other-version', { cluster, found, major: String(major) }),
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
    const why = errorCode(error) ?? String(error);
    throw new EmbeddedPostgresError(message('embedded-password-unreadable', { path, why }));
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
  const failure = await new Promise<Message | null>((settle) => {
    child.once('error', (error) => settle(cannotRun(program, error)));
    child.once('close', (code, signal) => settle(code === 0 ? null : endedWith('initdb', code, signal)));
  });
  if (failure)
    throw new EmbeddedPostgresError(
      message('embedded-not-created', { why: failure, log: lastLines(output, 20) }),
    );
}
