import { createHash, randomBytes } from 'node:crypto';
import {
  chmodSync,
  cpSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  realpathSync,
  renameSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import type { Message } from '../../domain/message.js';
import { canReach, isRoot, postgresAccount, type Account } from './account.js';
import { EmbeddedPostgresError, errorCode } from './embedded-error.js';
import { message } from './messages.js';
import { stopLeftover } from './postmaster.js';

/** Where a cluster is and which user owns it. */
export interface Place {
  /**
   * Contains the cluster and, where needed, a copy of the programs. This is the data directory
   * itself, unless the service runs as root.
   */
  home: string;
  cluster: string;
  /** Set when the service runs as root. */
  account?: Account;
}

/**
 * Decides where the cluster of a data directory is or will be.
 *
 * Normally that is `<dataDir>/postgres`. When the service runs as root, PostgreSQL runs as another
 * user, who cannot enter a directory below, say, /root, whatever the cluster's own mode. We must
 * not open /root to others, so the cluster then goes to /var/lib. Its name is derived from the path
 * of the data directory: the same directory always finds the same cluster, and two directories
 * never share one. `<dataDir>/postgres.location` records the path.
 */
export async function choosePlace(dataDir: string, onProgress: (what: Message) => void): Promise<Place> {
  const record = join(dataDir, 'postgres.location');
  const recorded = existsSync(record) ? readFileSync(record, 'utf8').trim() : undefined;
  if (!isRoot()) {
    if (recorded) {
      throw new EmbeddedPostgresError(
        message('embedded-made-by-root', { directory: dataDir, place: recorded }),
      );
    }
    return { home: dataDir, cluster: join(dataDir, 'postgres') };
  }
  const known = join(recorded ?? dataDir, 'postgres');
  const home = dirname(known);
  if (recorded) mkdirSync(home, { recursive: true });
  const existing = existsSync(known) && readdirSync(known).length > 0 ? statSync(known) : undefined;
  // An ordinary user created it and root now starts it (sudo): it still belongs to that user.
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
    onProgress(message('embedded-moved', { from: known, to: place.cluster }));
  }
  writeFileSync(record, `${elsewhere}\n`);
  return place;
}

/**
 * Lets other users pass through a data directory that belongs to root, without listing or reading
 * it. The umask or mkdtemp may have closed it; secret files in it have modes of their own.
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
  // The temporary directory is the last resort, because systems empty it.
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
  throw new EmbeddedPostgresError(message('embedded-out-of-reach', { directory: dataDir }));
}

/**
 * Renames the files that a deleted data directory left outside itself. A deleted directory was
 * meant to start empty, but nothing is thrown away.
 */
async function setLeftoverAside(place: Place, onProgress: (what: Message) => void): Promise<void> {
  if (!existsSync(place.cluster)) return;
  await stopLeftover(place.cluster);
  const aside = `${place.cluster}.${new Date().toISOString().replaceAll(':', '-')}`;
  renameSync(place.cluster, aside);
  onProgress(message('embedded-kept-aside', { path: aside }));
}
