import { spawnSync } from 'node:child_process';
import { chownSync, lchownSync, lstatSync, readdirSync, statSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { EmbeddedPostgresError } from './embedded-error.js';
import { message } from './messages.js';

/**
 * The unprivileged user that runs PostgreSQL when the service itself runs as root. PostgreSQL
 * refuses to run as root.
 */
export interface Account {
  uid: number;
  gid: number;
}

export function isRoot(): boolean {
  return process.getuid?.() === 0;
}

/**
 * Returns the system's `postgres` user and creates it when it does not exist. Only root may call
 * this.
 */
export function postgresAccount(): Account {
  const found = lookUp('postgres');
  if (found) return found;
  // Debian and Fedora have useradd. The last form is for BusyBox, which has no long options.
  const ways: [string, string[]][] = [
    ['useradd', ['--system', '--user-group', '--no-create-home', '--shell', '/usr/sbin/nologin', 'postgres']],
    ['adduser', ['--system', '--group', '--no-create-home', 'postgres']],
    ['adduser', ['-S', '-D', '-H', 'postgres']],
  ];
  const complaints: string[] = [];
  for (const [program, args] of ways) {
    const run = spawnSync(program, args, { encoding: 'utf8', cwd: '/', stdio: ['ignore', 'pipe', 'pipe'] });
    // Look the user up even if these commands failed: another process may have created it
    // meanwhile.
    const created = lookUp('postgres');
    if (created) return created;
    complaints.push(run.error ? `${program}: ${run.error.message}` : `${program}: ${run.stderr.trim()}`);
  }
  throw new EmbeddedPostgresError(message('embedded-user-missing', { why: complaints.join('; ') }));
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
 * Whether the account can enter a directory. Tries it as that user, because mode bits say nothing
 * about access lists and mount options along the path.
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
 * Gives files that root created in an ordinary user's directory (sudo) to that user, who would
 * otherwise be locked out of them.
 */
export function giveToOwnerOfDirectory(path: string): void {
  if (!isRoot()) return;
  const { uid, gid } = statSync(dirname(path));
  chownSync(path, uid, gid);
}

/** Makes the account the owner of a directory and everything in it. */
export function handOver(directory: string, account: Account): void {
  chownSync(directory, account.uid, account.gid);
  for (const entry of readdirSync(directory)) {
    const path = join(directory, entry);
    if (lstatSync(path).isDirectory()) handOver(path, account);
    else lchownSync(path, account.uid, account.gid);
  }
}
