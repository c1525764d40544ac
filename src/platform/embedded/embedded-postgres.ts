import type { ChildProcess } from 'node:child_process';
import { mkdirSync, realpathSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { setTimeout as delay } from 'node:timers/promises';
import { usableBinaries, type Binaries } from './binaries.js';
import {
  choosePlace,
  clusterUrl,
  createCluster,
  hasCluster,
  repairOwnership,
  type Place,
} from './cluster.js';
import { EmbeddedPostgresError, lastLines } from './embedded-error.js';
import { claimOwnership } from './owner-lock.js';
import {
  findLeftover,
  freePort,
  launch,
  removeStalePidFile,
  signalPostmaster,
  stopLeftover,
  stopPostmaster,
  type Postmaster,
} from './postmaster.js';
import { isRunning } from './processes.js';
import { query, removeServiceFile, writeServiceFile } from './service-file.js';

export { EmbeddedPostgresError } from './embedded-error.js';
export { findRunning } from './service-file.js';

const DATABASE = 'weephole';

export interface EmbeddedOptions {
  /** Created when missing. The cluster, its log, the lock and service.json live here. */
  dataDir: string;
  /** Called with one sentence for whoever started the service. */
  onProgress?: (message: string) => void;
  /** False gives up crash safety of the machine for speed; for databases made to be thrown away. */
  durable?: boolean;
  /** Tried first; another one is taken when it is in use. */
  port?: number;
}

export interface EmbeddedServer {
  /** Address of the database `weephole`, as the superuser `postgres`, on 127.0.0.1. */
  url: string;
  port: number;
  /** The postmaster's. */
  pid: number;
  /** True when an earlier, killed process had left the server running. */
  takenOver: boolean;
  /** Stops the server and waits until it is gone. May be called more than once. */
  stop(): Promise<void>;
}

/**
 * Starts the PostgreSQL of a data directory, or takes over the one a killed process left running, and makes this
 * process its owner until `stop()`. When the process exits without having called it, the server is told to stop; when
 * it is killed, the server lives on until the next start finds it.
 */
export async function startEmbedded(options: EmbeddedOptions): Promise<EmbeddedServer> {
  const { onProgress = () => undefined, durable = true, port } = options;
  mkdirSync(resolve(options.dataDir), { recursive: true });
  const dataDir = realpathSync(options.dataDir);
  const release = await claimOwnership(dataDir);
  try {
    const place = await choosePlace(dataDir, onProgress);
    const binaries = usableBinaries(place.home, place.account);
    if (!hasCluster(place, binaries.major)) {
      onProgress(`Creating the database in ${place.cluster}.`);
      await createCluster(place, binaries, durable);
    }
    const running =
      (await takeOver(place, binaries, durable, onProgress)) ??
      (await start({ dataDir, place, binaries, durable, port, onProgress }));
    return await finishStart({ dataDir, place, running, release, onProgress });
  } catch (error) {
    release();
    throw error;
  }
}

/**
 * For scripts that have no signal handling of their own: stops the server on SIGINT, SIGTERM or SIGHUP and then lets
 * the signal end the process. A process that already closes its application on signals calls `stop()` there instead.
 */
export function stopOnSignals(server: EmbeddedServer): void {
  for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) {
    const stopAndEnd = () => {
      void server
        .stop()
        .catch(() => undefined)
        .finally(() => {
          process.removeListener(signal, stopAndEnd);
          process.kill(process.pid, signal);
        });
    };
    process.on(signal, stopAndEnd);
  }
}

interface Running {
  /** Absent when the server is taken over: it is then nobody's child. */
  child?: ChildProcess;
  postmaster: Postmaster;
  takenOver: boolean;
}

/**
 * Takes over a server left running, if it is the program and has the settings we would start ourselves, and answers;
 * otherwise stops it. Null when a server is to be started.
 */
async function takeOver(
  place: Place,
  binaries: Binaries,
  durable: boolean,
  onProgress: (message: string) => void,
): Promise<Running | null> {
  let left = findLeftover(place.cluster);
  // Its status passes by itself: recovery after a crash ends, and so does a shutdown.
  for (let waitedMs = 0; left && left.status !== 'ready' && waitedMs < 30_000; waitedMs += 100) {
    await delay(100);
    left = findLeftover(place.cluster);
  }
  if (!left) return null;
  const { postmaster, program } = left;
  // After an update the old program's libraries may be gone from under it.
  if (
    program === realpathSync(binaries.postgres) &&
    (await answers(place.cluster, postmaster.port, durable))
  ) {
    onProgress(`Took over the PostgreSQL (pid ${postmaster.pid}) that an earlier process had left running.`);
    return { postmaster, takenOver: true };
  }
  onProgress(`Stopping the PostgreSQL (pid ${postmaster.pid}) that an earlier process had left running.`);
  await stopLeftover(place.cluster);
  return null;
}

async function answers(cluster: string, port: number, durable: boolean): Promise<boolean> {
  try {
    const [row] = await query<{ directory: string; fsync: string }>(
      clusterUrl(cluster, port, 'postgres'),
      "select current_setting('data_directory') as directory, current_setting('fsync') as fsync",
    );
    return row?.directory === realpathSync(cluster) && row.fsync === (durable ? 'on' : 'off');
  } catch {
    return false;
  }
}

interface StartOptions {
  dataDir: string;
  place: Place;
  binaries: Binaries;
  durable: boolean;
  port?: number;
  onProgress: (message: string) => void;
}

const PORT_TAKEN = /could not bind|could not create any TCP\/IP sockets/;
/** A server of this cluster is going, but not gone: a killed one's session is still busy, or it is not reaped yet. */
const STILL_HELD = /pre-existing shared memory block|lock file "postmaster\.pid" already exists/;
const HELD_LIMIT_MS = 15_000;

async function start({
  dataDir,
  place,
  binaries,
  durable,
  port,
  onProgress,
}: StartOptions): Promise<Running> {
  repairOwnership(place);
  removeStalePidFile(place.cluster);
  const logPath = logPathOf(dataDir);
  const heldUntil = Date.now() + HELD_LIMIT_MS;
  let nextPort = port ?? (await freePort());
  for (let portsTaken = 0, saidHeld = false; ;) {
    const { cluster, account } = place;
    const program = realpathSync(binaries.postgres);
    const launched = await launch({
      program,
      cluster,
      account,
      port: nextPort,
      durable,
      logPath,
      onProgress,
    });
    if (!('failure' in launched)) {
      return { ...launched, takenOver: false };
    }
    if (PORT_TAKEN.test(launched.failure) && portsTaken++ < 10) {
      nextPort = await freePort();
    } else if (STILL_HELD.test(launched.failure) && Date.now() < heldUntil) {
      if (!saidHeld) onProgress('Waiting for an earlier PostgreSQL on this data directory to end.');
      saidHeld = true;
      await delay(500);
    } else {
      throw new EmbeddedPostgresError(explain(launched.failure, cluster, logPath));
    }
  }
}

function explain(failure: string, cluster: string, logPath: string): string {
  const end = `The end of its log (${logPath}):\n${lastLines(failure, 20)}`;
  if (STILL_HELD.test(failure)) {
    return (
      `PostgreSQL could not start: processes of an earlier one still use ${cluster} and did not end within ` +
      `${HELD_LIMIT_MS / 1000} s. Look for them with: ps -ef | grep postgres. End those whose directory this is ` +
      `(kill <pid>), then start again. ${end}`
    );
  }
  return `PostgreSQL could not start. ${end}`;
}

interface FinishOptions {
  dataDir: string;
  place: Place;
  running: Running;
  release: () => void;
  onProgress: (message: string) => void;
}

async function finishStart({
  dataDir,
  place,
  running,
  release,
  onProgress,
}: FinishOptions): Promise<EmbeddedServer> {
  const { child, postmaster, takenOver } = running;
  const { pid, port, startToken } = postmaster;
  let stopped: Promise<void> | undefined;
  const atExit = () => {
    // Nothing can be awaited here; the server finishes its shutdown without us.
    if (isRunning(pid, startToken)) signalPostmaster(pid, 'SIGINT');
    removeServiceFile(dataDir);
    release();
  };
  const stopServer = async () => {
    try {
      await stopPostmaster(postmaster);
      removeServiceFile(dataDir);
    } finally {
      process.removeListener('exit', atExit);
      release();
    }
  };
  const stop = () => (stopped ??= stopServer());

  process.once('exit', atExit);
  child?.once('exit', () => {
    if (!stopped) onProgress(`PostgreSQL (pid ${pid}) has ended by itself; see ${logPathOf(dataDir)}.`);
  });
  try {
    const url = clusterUrl(place.cluster, port, DATABASE);
    await ensureDatabase(clusterUrl(place.cluster, port, 'postgres'));
    writeServiceFile(dataDir, { url, port, pid, ownerPid: process.pid, startedAt: new Date().toISOString() });
    return { url, port, pid, takenOver, stop };
  } catch (error) {
    await stop();
    throw error;
  }
}

async function ensureDatabase(adminUrl: string): Promise<void> {
  const found = await query(adminUrl, `select datname from pg_database where datname = '${DATABASE}'`);
  if (found.length === 0) await query(adminUrl, `create database ${DATABASE}`);
}

function logPathOf(dataDir: string): string {
  return join(dataDir, 'postgres.log');
}
