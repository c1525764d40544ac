import type { ChildProcess } from 'node:child_process';
import { realpathSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as delay } from 'node:timers/promises';
import type { Message } from '../../domain/message.js';
import type { Binaries } from './binaries.js';
import { repairOwnership } from './cluster.js';
import { EmbeddedPostgresError, lastLines } from './embedded-error.js';
import { message } from './messages.js';
import { endOrphans } from './orphans.js';
import type { Place } from './place.js';
import { freePort, launch, removeStalePidFile, type Postmaster } from './postmaster.js';

export interface Running {
  /** Absent when the server was taken over, because it is then not our child process. */
  child?: ChildProcess;
  postmaster: Postmaster;
  takenOver: boolean;
}

export interface StartOptions {
  dataDir: string;
  place: Place;
  binaries: Binaries;
  durable: boolean;
  /** The port to try first. */
  port?: number;
  /** Whether the server must keep this port, because others already know it by that port. */
  keepsPort?: boolean;
  onProgress: (what: Message) => void;
  /** Cancels the start. */
  signal?: AbortSignal;
}

const PORT_TAKEN = /could not bind|could not create any TCP\/IP sockets/;
/**
 * Messages of a server that cannot start because an earlier one is not quite gone: a session of a
 * killed server is still busy, or the process has not been reaped yet.
 */
const STILL_HELD = /pre-existing shared memory block|lock file "postmaster\.pid" already exists/;
const HELD_LIMIT_MS = 15_000;

/**
 * Starts the server of a cluster, whatever an earlier server has left behind.
 *
 * @throws EmbeddedPostgresError when the server does not start
 */
export async function startServer(options: StartOptions): Promise<Running> {
  const { dataDir, place, binaries, durable, port, keepsPort = false, onProgress, signal } = options;
  const { cluster, account } = place;
  repairOwnership(place);
  removeStalePidFile(cluster);
  const logPath = logPathOf(dataDir);
  const program = realpathSync(binaries.postgres);
  const heldUntil = Date.now() + HELD_LIMIT_MS;
  let nextPort = port ?? (await freePort());
  for (let portsTaken = 0, saidHeld = false; ;) {
    const launched = await launch({
      program,
      cluster,
      account,
      port: nextPort,
      durable,
      logPath,
      onProgress,
      signal,
    });
    if (!('failure' in launched)) return { ...launched, takenOver: false };
    const { failure } = launched;
    const isPortTaken = PORT_TAKEN.test(failure);
    const mayWait = Date.now() < heldUntil && signal?.aborted !== true;
    if (isPortTaken && !keepsPort && portsTaken++ < 10) {
      nextPort = await freePort();
    } else if ((STILL_HELD.test(failure) || (keepsPort && isPortTaken)) && mayWait) {
      if (!saidHeld && !isPortTaken) onProgress(message('embedded-waiting-for-earlier'));
      saidHeld = true;
      // The queries of these sessions were ours: this process runs them again.
      if (keepsPort) endOrphans(cluster);
      await delay(500);
    } else {
      throw new EmbeddedPostgresError(explain(failure, cluster, logPath), reasonOf(failure));
    }
  }
}

/** Returns the last important line of the server's output. */
function reasonOf(failure: string): string {
  const lines = failure.trim().split('\n');
  const said = lines.findLast((line) => /FATAL|PANIC|could not/.test(line)) ?? lines[0] ?? '';
  return said.replace(/^.*?(FATAL|PANIC|LOG|WARNING): +/, '');
}

function explain(failure: string, cluster: string, path: string): Message {
  const log = lastLines(failure, 20);
  if (!STILL_HELD.test(failure)) return message('embedded-not-started', { path, log });
  return message('embedded-still-held', { cluster, seconds: HELD_LIMIT_MS / 1000, path, log });
}

/**
 * Whether the start failed on something that `startServer` already waited for. Retrying soon would
 * not help.
 */
export function hasBeenWaitedFor(error: unknown): boolean {
  return (
    error instanceof EmbeddedPostgresError && (PORT_TAKEN.test(error.reason) || STILL_HELD.test(error.reason))
  );
}

export function logPathOf(dataDir: string): string {
  return join(dataDir, 'postgres.log');
}
