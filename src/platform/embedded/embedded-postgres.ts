import { mkdirSync, realpathSync } from 'node:fs';
import { resolve } from 'node:path';
import { setTimeout as delay } from 'node:timers/promises';
import type { Message } from '../../domain/message.js';
import { OPERATOR } from '../words/operator-language.js';
import { textOf } from '../words/render.js';
import { usableBinaries, type Binaries } from './binaries.js';
import { clusterUrl, createCluster, hasCluster } from './cluster.js';
import type { EmbeddedPostgresError } from './embedded-error.js';
import { message } from './messages.js';
import { type KeepOptions, KeptServer } from './keep-running.js';
import { claimOwnership } from './owner-lock.js';
import { findLeftover, signalPostmaster, stopLeftover, type Postmaster } from './postmaster.js';
import { isRunning } from './processes.js';
import { choosePlace, type Place } from './place.js';
import { query, removeServiceFile, writeServiceFile } from './service-file.js';
import { startServer, type Running } from './start-server.js';

export { EmbeddedPostgresError } from './embedded-error.js';
export { findRunning } from './service-file.js';

const DATABASE = 'weephole';

export interface EmbeddedOptions {
  /** Created when missing. The cluster, its log, the lock and service.json live here. */
  dataDir: string;
  /** Called with progress, in words and in the language of the person who started the service. */
  onProgress?: (text: string) => void;
  /** False trades crash safety for speed; only for throwaway databases. */
  durable?: boolean;
  /** The port to try first; if it is in use, another one is chosen. */
  port?: number;
  /** Aborted when the process is asked to end. From then on the server is not restarted. */
  signal?: AbortSignal;
  /** Called when the server has stopped unexpectedly and cannot be kept running. */
  onLost?: (error: EmbeddedPostgresError) => void;
}

export interface EmbeddedServer {
  /** URL of the database `weephole` on 127.0.0.1, for the superuser `postgres`. */
  url: string;
  port: number;
  /** The postmaster's pid. It changes when the server is restarted after an unexpected stop. */
  readonly pid: number;
  /** True when an earlier, killed process had left the server running. */
  takenOver: boolean;
  /** Stops the server and waits until it is gone. May be called more than once. */
  stop(): Promise<void>;
}

/**
 * Starts the PostgreSQL of a data directory, or takes over the one that a killed process left
 * running, and makes this process its owner until `stop()`. If the server stops unexpectedly, it is
 * restarted on the same port. If the process exits without calling `stop()`, the server is told to
 * stop. If the process is killed, the server keeps running until the next start finds it.
 */
export async function startEmbedded(options: EmbeddedOptions): Promise<EmbeddedServer> {
  const { durable = true, port, signal } = options;
  const onProgress = (what: Message): void => options.onProgress?.(textOf(what, OPERATOR));
  const onLost = options.onLost ?? ((error) => options.onProgress?.(error.message));
  mkdirSync(resolve(options.dataDir), { recursive: true });
  const dataDir = realpathSync(options.dataDir);
  const release = await claimOwnership(dataDir);
  try {
    const place = await choosePlace(dataDir, onProgress);
    const binaries = usableBinaries(place.home, place.account);
    if (!hasCluster(place, binaries.major)) {
      onProgress(message('embedded-creating', { cluster: place.cluster }));
      await createCluster(place, binaries, durable);
    }
    const server = { dataDir, place, binaries, durable, onProgress };
    const running =
      (await takeOver(place, binaries, durable, onProgress)) ?? (await startServer({ ...server, port }));
    return await finishStart({ ...server, running, release, signal, onLost });
  } catch (error) {
    release();
    throw error;
  }
}

/**
 * Stops the server on SIGINT, SIGTERM or SIGHUP, then lets the signal end the process. For scripts
 * without signal handling of their own; a process that already closes its application on signals
 * calls `stop()` there instead.
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

/**
 * Takes over a server that was left running if it answers, runs the same program and has the
 * settings we would start it with. Otherwise stops it. Returns null when a new server must be
 * started.
 */
async function takeOver(
  place: Place,
  binaries: Binaries,
  durable: boolean,
  onProgress: (what: Message) => void,
): Promise<Running | null> {
  let left = findLeftover(place.cluster);
  // Other statuses are temporary: recovery after a crash ends, and so does a shutdown.
  for (let waitedMs = 0; left && left.status !== 'ready' && waitedMs < 30_000; waitedMs += 100) {
    await delay(100);
    left = findLeftover(place.cluster);
  }
  if (!left) return null;
  const { postmaster, program } = left;
  const pid = String(postmaster.pid);
  // After an update, the old program's libraries may have been deleted.
  if (
    program === realpathSync(binaries.postgres) &&
    (await answers(place.cluster, postmaster.port, durable))
  ) {
    onProgress(message('embedded-taken-over', { pid }));
    return { postmaster, takenOver: true };
  }
  onProgress(message('embedded-stopping-earlier', { pid }));
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

interface FinishOptions extends Omit<KeepOptions, 'onBack'> {
  running: Running;
  release: () => void;
}

async function finishStart({ running, release, ...options }: FinishOptions): Promise<EmbeddedServer> {
  const { dataDir, place } = options;
  const { port } = running.postmaster;
  const url = clusterUrl(place.cluster, port, DATABASE);
  const tellOthers = ({ pid }: Postmaster): void =>
    writeServiceFile(dataDir, { url, port, pid, ownerPid: process.pid, startedAt: new Date().toISOString() });
  const kept = new KeptServer(running, { ...options, onBack: tellOthers });
  let stopped: Promise<void> | undefined;
  const atExit = () => {
    // An exit handler cannot await anything; the server finishes its shutdown without us.
    const { pid, startToken } = kept.postmaster;
    if (isRunning(pid, startToken)) signalPostmaster(pid, 'SIGINT');
    removeServiceFile(dataDir);
    release();
  };
  const stopServer = async () => {
    try {
      await kept.stop();
      removeServiceFile(dataDir);
    } finally {
      process.removeListener('exit', atExit);
      release();
    }
  };
  const stop = () => (stopped ??= stopServer());

  process.once('exit', atExit);
  try {
    await ensureDatabase(clusterUrl(place.cluster, port, 'postgres'));
    tellOthers(kept.postmaster);
    return {
      url,
      port,
      get pid() {
        return kept.postmaster.pid;
      },
      takenOver: running.takenOver,
      stop,
    };
  } catch (error) {
    await stop();
    throw error;
  }
}

async function ensureDatabase(adminUrl: string): Promise<void> {
  const found = await query(adminUrl, `select datname from pg_database where datname = '${DATABASE}'`);
  if (found.length === 0) await query(adminUrl, `create database ${DATABASE}`);
}
