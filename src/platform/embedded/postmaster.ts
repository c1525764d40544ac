import { spawn, type ChildProcess } from 'node:child_process';
import { closeSync, readFileSync, realpathSync, rmSync } from 'node:fs';
import { createServer } from 'node:net';
import { basename, join } from 'node:path';
import { setTimeout as delay } from 'node:timers/promises';
import type { Account } from './account.js';
import type { Message } from '../../domain/message.js';
import { OPERATOR } from '../words/operator-language.js';
import { textOf } from '../words/render.js';
import { cannotRun, endedWith, serverEnvironment } from './binaries.js';
import { EmbeddedPostgresError } from './embedded-error.js';
import { message } from './messages.js';
import { isRunning, processFacts, signalReaches, waitUntilGone, type ProcessFacts } from './processes.js';
import { openLog, readFrom } from './server-log.js';

/** A server process that is known to belong to this cluster. */
export interface Postmaster {
  pid: number;
  startToken: string;
  port: number;
}

/** What the server wrote into its postmaster.pid. */
interface PidFile {
  pid: number;
  port: number;
  status: string;
}

export interface Leftover {
  postmaster: Postmaster;
  /** PostgreSQL's own status word: starting, ready, standby or stopping. */
  status: string;
  /** Path of the server program. */
  program: string;
}

/** Finds the server of a cluster that an earlier process left behind; null when there is none. */
export function findLeftover(cluster: string): Leftover | null {
  const file = readPidFile(cluster);
  if (!file) return null;
  const facts = processFacts(file.pid);
  if (!facts || !isServerOf(facts, cluster)) return null;
  const postmaster = { pid: file.pid, startToken: facts.startToken, port: file.port };
  return { postmaster, status: file.status, program: facts.executable ?? splitCommandLine(facts).program };
}

/**
 * Whether a process is the server of this cluster. The pid in an old file may now belong to any
 * process, so the pid alone is not enough to signal it. The program and the working directory
 * decide. In a container, root may not inspect another user's process (that needs CAP_SYS_PTRACE),
 * and macOS has no /proc: there, the command line must name the cluster.
 */
function isServerOf(facts: ProcessFacts, cluster: string): boolean {
  const directory = realpathSync(cluster);
  if (facts.executable !== undefined && facts.workingDirectory !== undefined) {
    const program = basename(facts.executable.replace(/ \(deleted\)$/, ''));
    return program === 'postgres' && facts.workingDirectory === directory;
  }
  const { program, rest } = splitCommandLine(facts);
  return basename(program) === 'postgres' && rest.startsWith(`${directory} `);
}

/**
 * Splits the command line of a server of ours: `…/postgres -D <cluster> -c …`. Either path may
 * contain spaces.
 */
function splitCommandLine({ commandLine = '' }: ProcessFacts): { program: string; rest: string } {
  const [program = '', ...rest] = commandLine.split(' -D ');
  return { program, rest: rest.join(' -D ') };
}

/**
 * Removes a postmaster.pid whose server is gone but whose pid the kernel still knows: a zombie that
 * nobody reaps, or an unrelated process with the same number. PostgreSQL would take either for a
 * live server and refuse to start. If processes of the old server are still busy, PostgreSQL
 * detects them by their shared memory, not by this file.
 */
export function removeStalePidFile(cluster: string): void {
  const file = readPidFile(cluster);
  if (file && !findLeftover(cluster) && signalReaches(file.pid) === 'yes')
    rmSync(join(cluster, 'postmaster.pid'));
}

/** Stops any server of this cluster that is still running. */
export async function stopLeftover(cluster: string): Promise<void> {
  const left = findLeftover(cluster);
  if (left) await stopPostmaster(left.postmaster);
}

/**
 * Stops a server and returns when the process is gone. Tries a fast shutdown first (sessions are
 * ended, everything is written). If that takes too long, stops it as in a crash; the next start
 * recovers.
 */
export async function stopPostmaster({ pid, startToken }: Postmaster): Promise<void> {
  const steps: [NodeJS.Signals, number][] = [
    ['SIGINT', 30_000],
    ['SIGQUIT', 8_000],
    ['SIGKILL', 5_000],
  ];
  for (const [signal, limitMs] of steps) {
    if (!isRunning(pid, startToken)) return;
    signalPostmaster(pid, signal);
    if (await waitUntilGone(pid, startToken, limitMs)) return;
  }
  throw new EmbeddedPostgresError(message('embedded-does-not-stop', { pid: String(pid) }));
}

export function signalPostmaster(pid: number, signal: NodeJS.Signals): void {
  try {
    process.kill(pid, signal);
  } catch {
    // The process ended between the check and the signal.
  }
}

export interface LaunchOptions {
  program: string;
  cluster: string;
  account?: Account;
  port: number;
  durable: boolean;
  logPath: string;
  onProgress: (what: Message) => void;
  /** Aborts the start: a server that is not ready yet is stopped. */
  signal?: AbortSignal;
}

/** Result of one attempt to start: the running server, or its output before it gave up. */
export type Launched = { child: ChildProcess; postmaster: Postmaster } | { failure: string };

/** Starts the server and waits until it accepts connections. */
export async function launch(options: LaunchOptions): Promise<Launched> {
  const log = openLog(options.logPath);
  const child = spawn(options.program, serverArguments(options), {
    ...options.account,
    // Give the server a session and process group of its own. Ctrl-C at the terminal then reaches
    // only us, and we stop the server when the service no longer needs it.
    detached: true,
    cwd: '/',
    env: serverEnvironment(),
    // Not a pipe to us: the server must still be able to write its log after we were killed.
    stdio: ['ignore', log.fd, log.fd],
  });
  closeSync(log.fd);
  child.unref();
  let ended: Message | undefined;
  child.once('error', (error) => (ended = cannotRun(options.program, error)));
  child.once('exit', (code, signal) => (ended ??= endedWith('postgres', code, signal)));

  const stop = (): void => void child.kill('SIGINT');
  const { signal } = options;
  signal?.addEventListener('abort', stop, { once: true });
  if (signal?.aborted) stop();
  process.once('exit', stop);
  try {
    return await untilReady(options, child, () => ended, log.length);
  } finally {
    signal?.removeEventListener('abort', stop);
    process.removeListener('exit', stop);
  }
}

async function untilReady(
  options: LaunchOptions,
  child: ChildProcess,
  how: () => Message | undefined,
  logLength: number,
): Promise<Launched> {
  const began = Date.now();
  for (let nextWordMs = 5_000; ;) {
    const ended = how();
    if (ended !== undefined)
      return { failure: `${textOf(ended, OPERATOR)}\n${readFrom(options.logPath, logLength)}` };
    const file = readPidFile(options.cluster);
    if (file && file.pid === child.pid && file.status === 'ready') {
      const startToken = processFacts(file.pid)?.startToken;
      if (startToken) return { child, postmaster: { pid: file.pid, startToken, port: options.port } };
    }
    const waitedMs = Date.now() - began;
    if (waitedMs > nextWordMs) {
      options.onProgress(message('embedded-still-starting', { seconds: Math.round(waitedMs / 1000) }));
      nextWordMs *= 2;
    }
    await delay(20);
  }
}

function serverArguments({ cluster, port, durable }: LaunchOptions): string[] {
  const settings: Record<string, string | number> = {
    listen_addresses: '127.0.0.1',
    port,
    // The default socket directory is shared with every PostgreSQL on the machine, and the start
    // fails where that directory is missing.
    unix_socket_directories: '',
    max_connections: 200,
    shared_buffers: '128MB',
    timezone: 'UTC',
    log_timezone: 'UTC',
    log_checkpoints: 'off',
    ...(durable ? {} : { fsync: 'off', full_page_writes: 'off', synchronous_commit: 'off' }),
  };
  // The cluster's real path comes first: a later start recognises the server by it.
  return [
    '-D',
    realpathSync(cluster),
    ...Object.entries(settings).flatMap(([key, value]) => ['-c', `${key}=${value}`]),
  ];
}

/**
 * Asks the kernel for a free port. Another program may take it before the server does, so be ready
 * to retry.
 */
export async function freePort(): Promise<number> {
  return await new Promise((settle, fail) => {
    const server = createServer();
    server.once('error', fail);
    server.listen(0, '127.0.0.1', () => {
      const address = server.address();
      const port = typeof address === 'object' && address ? address.port : 0;
      server.close(() => settle(port));
    });
  });
}

/**
 * Reads postmaster.pid. Its lines are: pid, data directory, start time, port, socket directory,
 * address, memory, status.
 */
function readPidFile(cluster: string): PidFile | null {
  let lines: string[];
  try {
    lines = readFileSync(join(cluster, 'postmaster.pid'), 'utf8').split('\n');
  } catch {
    return null;
  }
  const pid = Number.parseInt(lines[0] ?? '', 10);
  if (!(pid > 0)) return null;
  return { pid, port: Number.parseInt(lines[3] ?? '', 10), status: lines[7]?.trim() ?? '' };
}
