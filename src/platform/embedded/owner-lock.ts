import { randomBytes } from 'node:crypto';
import { readFileSync, renameSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as delay } from 'node:timers/promises';
import { giveToOwnerOfDirectory } from './account.js';
import { EmbeddedPostgresError, errorCode } from './embedded-error.js';
import { message } from './messages.js';
import { isRunning, processFacts } from './processes.js';

interface Owner {
  pid: number;
  startToken: string;
  since: string;
}

/**
 * Makes this process the owner of a data directory: only the owner may start, take over or stop its
 * server. Returns the function that releases the lock; it is synchronous because exit handlers call
 * it. A lock left by a dead process is replaced. The pid alone cannot identify that process,
 * because pids are reused: in a container the service gets the same low pid at every start.
 */
export async function claimOwnership(dataDir: string): Promise<() => void> {
  const path = join(dataDir, 'owner.lock');
  const mine = JSON.stringify({
    pid: process.pid,
    startToken: processFacts(process.pid)?.startToken ?? 'unknown',
    since: new Date().toISOString(),
    nonce: randomBytes(6).toString('hex'),
  });
  for (let round = 0; round < 10; round++) {
    if (createExclusively(path, mine)) {
      return () => {
        if (readText(path) === mine) rmSync(path, { force: true });
      };
    }
    const held = await readSettled(path);
    if (held === undefined) continue;
    const owner = parseOwner(held);
    if (owner && isRunning(owner.pid, owner.startToken)) throw refusal(dataDir, owner);
    setAside(path, held);
  }
  throw new EmbeddedPostgresError(message('embedded-lock-contended', { directory: dataDir, path }));
}

function createExclusively(path: string, content: string): boolean {
  try {
    writeFileSync(path, content, { flag: 'wx', mode: 0o600 });
    giveToOwnerOfDirectory(path);
    return true;
  } catch (error) {
    if (errorCode(error) === 'EEXIST') return false;
    throw error;
  }
}

/**
 * Reads the lock's text. Waits up to a second for it, because another process may have created the
 * file and not written it yet.
 */
async function readSettled(path: string): Promise<string | undefined> {
  for (let waitedMs = 0; ; waitedMs += 50) {
    const text = readText(path);
    if (text === undefined || parseOwner(text) || waitedMs >= 1000) return text;
    await delay(50);
  }
}

function readText(path: string): string | undefined {
  try {
    return readFileSync(path, 'utf8');
  } catch (error) {
    if (errorCode(error) === 'ENOENT') return undefined;
    if (errorCode(error) === 'EACCES') {
      const uid = String(statSync(path).uid);
      throw new EmbeddedPostgresError(message('embedded-lock-of-other-user', { path, uid }));
    }
    throw error;
  }
}

function parseOwner(text: string): Owner | null {
  try {
    const owner = JSON.parse(text) as Partial<Owner>;
    return typeof owner.pid === 'number' && typeof owner.startToken === 'string' ? (owner as Owner) : null;
  } catch {
    return null;
  }
}

/**
 * Removes a stale lock by renaming it, which only one of several processes can do. A process that
 * finds it has renamed a newer lock than the one it judged puts that lock back.
 */
function setAside(path: string, judged: string): void {
  const aside = `${path}.${process.pid}-${randomBytes(4).toString('hex')}`;
  try {
    renameSync(path, aside);
  } catch (error) {
    if (errorCode(error) === 'ENOENT') return;
    throw error;
  }
  const moved = readText(aside);
  if (moved !== undefined && moved !== judged) createExclusively(path, moved);
  rmSync(aside, { force: true });
}

function refusal(dataDir: string, owner: Owner): EmbeddedPostgresError {
  return new EmbeddedPostgresError(
    message('embedded-in-use', {
      directory: dataDir,
      owner: owner.pid === process.pid ? 'itself' : 'another',
      pid: String(owner.pid),
      since: owner.since,
    }),
  );
}
