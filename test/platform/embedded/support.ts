import { execFileSync, spawn, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, mkdtempSync, readdirSync, readFileSync, realpathSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface, type Interface } from 'node:readline';
import { setTimeout as delay } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import pg from 'pg';
import { startEmbedded } from '../../../src/platform/embedded/embedded-postgres.js';
import { findLeftover, stopLeftover } from '../../../src/platform/embedded/postmaster.js';

const made: string[] = [];

/** Creates a directory for one test that only its owner can enter. */
export function temporaryDirectory(): string {
  const directory = realpathSync(mkdtempSync(join(tmpdir(), 'weephole-embedded-')));
  made.push(directory);
  return directory;
}

let prepared: string | undefined;

/**
 * Returns a data directory with a new cluster. The cluster is a copy, because creating one takes
 * most of a second.
 */
export async function preparedDataDir(): Promise<string> {
  if (!prepared) {
    const fresh = realpathSync(mkdtempSync(join(tmpdir(), 'weephole-embedded-')));
    await (await startEmbedded({ dataDir: fresh, durable: false })).stop();
    prepared = fresh;
  }
  const dataDir = temporaryDirectory();
  execFileSync('cp', ['-a', join(prepared, 'postgres'), dataDir]);
  return dataDir;
}

export function removePrepared(): void {
  if (prepared) rmSync(prepared, { recursive: true, force: true });
  prepared = undefined;
}

/** Removes the directories and whatever a failed test left running in them. */
export async function cleanUp(): Promise<void> {
  for (const directory of made.splice(0)) {
    const home = clusterHome(directory);
    if (existsSync(join(home, 'postgres'))) await stopLeftover(join(home, 'postgres'));
    if (home !== directory) rmSync(home, { recursive: true, force: true });
    rmSync(directory, { recursive: true, force: true });
  }
}

/** Where the cluster of a data directory is; root may have had to put it elsewhere. */
export function clusterHome(dataDir: string): string {
  const record = join(dataDir, 'postgres.location');
  return existsSync(record) ? readFileSync(record, 'utf8').trim() : dataDir;
}

export async function sql<Row extends pg.QueryResultRow>(url: string, text: string): Promise<Row[]> {
  const client = new pg.Client({ connectionString: url });
  client.on('error', () => undefined);
  await client.connect();
  try {
    return (await client.query<Row>(text)).rows;
  } finally {
    await client.end();
  }
}

/** Waits for a session with a long-running statement, and returns its pid. */
export async function busySession(url: string): Promise<number> {
  const text = `select pid from pg_stat_activity where state = 'active' and query like 'select sum%'`;
  for (;;) {
    const [session] = await sql<{ pid: number }>(url, text);
    if (session) return session.pid;
    await delay(20);
  }
}

/**
 * Returns the pids of all processes of any kind that work in a directory or were started for it.
 */
export function processesOf(directory: string): number[] {
  return readdirSync('/proc')
    .filter((name) => /^\d+$/.test(name))
    .map(Number)
    .filter((pid) => {
      try {
        return readFileSync(`/proc/${pid}/cmdline`, 'utf8').split('\0').includes(directory);
      } catch {
        return false;
      }
    });
}

export async function until(claim: () => boolean, limitMs = 60_000): Promise<void> {
  const deadline = Date.now() + limitMs;
  while (!claim()) {
    if (Date.now() > deadline) throw new Error(`Not so within ${limitMs} ms: ${claim.toString()}`);
    await delay(20);
  }
}

export async function untilStopped(cluster: string): Promise<void> {
  await until(() => findLeftover(cluster) === null);
}

export interface Said {
  url: string;
  port: number;
  pid: number;
  takenOver: boolean;
  refused?: string;
  answeredAfterSignal?: number;
}

/** A running `owner.mjs`. */
export interface OwnerProcess {
  child: ChildProcess;
  /** Waits for its next message. */
  hear(): Promise<Said>;
}

export function startOwner(dataDir: string, options: object = {}): OwnerProcess {
  const script = fileURLToPath(new URL('owner.mjs', import.meta.url));
  const child = spawn(process.execPath, [script, dataDir, JSON.stringify({ durable: false, ...options })], {
    // A process group of its own, as at a terminal, so that a test can send it Ctrl-C.
    detached: true,
    stdio: ['pipe', 'pipe', 'inherit'],
  });
  const lines: Interface = createInterface({ input: child.stdout });
  const iterator = lines[Symbol.asyncIterator]();
  return {
    child,
    async hear() {
      const line = await iterator.next();
      if (line.done) throw new Error('The owner process ended without a word.');
      return JSON.parse(line.value) as Said;
    },
  };
}

/** Sends SIGKILL and waits for the process to end. */
export async function killHard(child: ChildProcess): Promise<void> {
  const ended = once(child, 'exit');
  child.kill('SIGKILL');
  await ended;
}
