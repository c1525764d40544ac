import { execFileSync } from 'node:child_process';
import { existsSync, readFileSync, readlinkSync } from 'node:fs';
import { setTimeout as delay } from 'node:timers/promises';
import { errorCode } from './embedded-error.js';

/**
 * What we can find out about a running process. A zombie does not count as running: it holds no
 * file, port or memory.
 */
export interface ProcessFacts {
  pid: number;
  /** Tells two processes apart that had the same pid at different times, across reboots too. */
  startToken: string;
  executable?: string;
  workingDirectory?: string;
  /** The arguments, joined by spaces. */
  commandLine?: string;
}

/**
 * Returns the facts of a running process; null when there is none, when it is a zombie, or when it
 * is hidden from us.
 */
export function processFacts(pid: number): ProcessFacts | null {
  return existsSync('/proc/self/stat') ? factsFromProc(pid) : factsFromPs(pid);
}

function factsFromProc(pid: number): ProcessFacts | null {
  const stat = attempt(() => readFileSync(`/proc/${pid}/stat`, 'utf8'));
  if (stat === undefined) return null;
  // The command is in brackets and may itself contain spaces and brackets, so split after the last
  // bracket.
  const fields = stat.slice(stat.lastIndexOf(')') + 2).split(' ');
  const state = fields[0];
  if (state === 'Z' || state === 'X') return null;
  const boot = attempt(() => readFileSync('/proc/sys/kernel/random/boot_id', 'utf8').trim()) ?? '';
  return {
    pid,
    startToken: `${boot}:${fields[19]}`,
    // A replaced program file is reported as "… (deleted)". That name must not match any file.
    executable: attempt(() => readlinkSync(`/proc/${pid}/exe`)),
    workingDirectory: attempt(() => readlinkSync(`/proc/${pid}/cwd`)),
    commandLine: attempt(() => readFileSync(`/proc/${pid}/cmdline`, 'utf8').replaceAll('\0', ' ')),
  };
}

/** Reads the same facts with `ps`, on systems without /proc (macOS). */
export function factsFromPs(pid: number): ProcessFacts | null {
  const line = attempt(() =>
    execFileSync('ps', ['-p', String(pid), '-o', 'stat=', '-o', 'lstart=', '-o', 'args='], {
      encoding: 'utf8',
      env: { PATH: process.env['PATH'], LC_ALL: 'C' },
      stdio: ['ignore', 'pipe', 'ignore'],
    }).trim(),
  );
  const match = /^(\S+)\s+(\S+\s+\S+\s+\S+\s+\S+\s+\S+)\s+(.*)$/.exec(line ?? '');
  if (!match || match[1]!.startsWith('Z')) return null;
  return { pid, startToken: match[2]!.replace(/\s+/g, ' '), commandLine: `${match[3]!} ` };
}

/** Whether the process with this pid and start token is still running. */
export function isRunning(pid: number, startToken: string): boolean {
  const facts = processFacts(pid);
  if (facts) return facts.startToken === startToken;
  // The process exists but is hidden from us (/proc mounted with hidepid). Assume that it is alive
  // rather than take over from it.
  return signalReaches(pid) === 'forbidden';
}

/**
 * Whether the kernel knows the pid, zombies included. PostgreSQL makes the same check for an old
 * lock file.
 */
export function signalReaches(pid: number): 'yes' | 'no' | 'forbidden' {
  try {
    process.kill(pid, 0);
    return 'yes';
  } catch (error) {
    return errorCode(error) === 'EPERM' ? 'forbidden' : 'no';
  }
}

/** Waits up to `limitMs` for the process to end. Returns true when it has. */
export async function waitUntilGone(pid: number, startToken: string, limitMs: number): Promise<boolean> {
  const deadline = Date.now() + limitMs;
  while (isRunning(pid, startToken)) {
    if (Date.now() >= deadline) return false;
    await delay(20);
  }
  return true;
}

function attempt<T>(read: () => T): T | undefined {
  try {
    return read();
  } catch {
    return undefined;
  }
}
