import { spawnSync } from 'node:child_process';
import { chownSync, lchownSync, lstatSync, readdirSync, statSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { EmbeddedPostgresError } from './embedded-error.js';

/**
 * The unprivileged user PostgreSQL runs as when the service itself runs as root, which PostgreSQL
 * refuses to do.
 */
export interface Account {
  uid: number;
  gid: number;
}

export function isRoot(): boolean {
  return process.getuid?.() === 0;
}

/** The system's `postgres` user, created when there is none. Only root may call this. */
export function postgresAccount(): Account {
  const found = lookUp('postgres');
  if (found) return found;
  // useradd is in Debian, Fedora and their kin; the last form is BusyBox's, which knows no long
  // options.
  const ways: [string, string[]][] = [
    ['useradd', ['--system', '--user-group', '--no-create-home', '--shell', '/usr/sbin/nologin', 'postgres']],
    ['adduser', ['--system', '--group', '--no-create-home', 'postgres']],
    ['adduser', ['-S', '-D', '-H', 'postgres']],
  ];
  const complaints: string[] = [];
  for (const [program, args] of ways) {
    const run = spawnSync(program, args, { encoding: 'utf8', cwd: '/', stdio: ['ignore', 'pipe', 'pipe'] });
    // Looked up whatever the outcome: a process next to us may have created the user in between.
    const created = lookUp('postgres');
    if (created) return created;
    complaints.push(run.error ? `${program}: ${run.error.message}` : `${program}: ${run.stderr.trim()}`);
  }
  throw new EmbeddedPostgresError(
    'PostgreSQL does not run as root, and the user "postgres" it would run as could not be created ' +
      `(${complaints.join('; ')}). Create that user, start the service as an ordinary user, or set DATABASE_URL.`,
  );
}

function lookUp(name: string): Account | null {
  const [uid, gid] = ['-u', '-g'].map((option) => {
    const run = spawnSync('id', [option, name], {
      encoding: 'utf8',
      cwd: '/',
      stdio: ['ignore', 'pipe', 'ignore'],
    });
    return run.status === 0 ? Number.parseInt(run.stdout, 10) : Number.NaN;
  });
  return Number.isInteger(uid) && Number.isInteger(gid) ? { uid: uid!, gid: gid! } : null;
}

/**
 * Whether the account can get into a directory. Asked by trying, as that user: mode bits alone say
 * nothing of access lists and mount options on the way.
 */
export function canReach(account: Account, directory: string): boolean {
  const run = spawnSync('/bin/sh', ['-c', 'cd "$1"', 'sh', directory], {
    ...account,
    cwd: '/',
    stdio: 'ignore',
  });
  return run.status === 0;
}

/**
 * Root working in an ordinary user's directory (sudo) must not lock that user out of the files made
 * there.
 */
export function giveToOwnerOfDirectory(path: string): void {
  if (!isRoot()) return;
  const { uid, gid } = statSync(dirname(path));
  chownSync(path, uid, gid);
}

/** Gives a directory and all in it to the account. */
export function handOver(directory: string, account: Account): void {
  chownSync(directory, account.uid, account.gid);
  for (const entry of readdirSync(directory)) {
    const path = join(directory, entry);
    if (lstatSync(path).isDirectory()) handOver(path, account);
    else lchownSync(path, account.uid, account.gid);
  }
}
