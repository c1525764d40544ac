import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { join, resolve } from 'node:path';
import { until } from './receiver.js';

const root = resolve(import.meta.dirname, '../..');

/** A compiled program of the service, run as a process of its own. */
export interface ServiceProcess {
  child: ChildProcess;
  pid: number;
  /** All its output to standard error so far. */
  log(): string;
  /**
   * Resolves when the process has printed this. @throws Error when it ends first, or takes too long
   */
  untilSays(what: string | RegExp, withinMs?: number): Promise<void>;
  /** Resolves to its exit code; null when a signal ended it. */
  ended: Promise<number | null>;
  hasEnded(): boolean;
  /** Sends SIGKILL and waits for the end. */
  killHard(): Promise<void>;
  /** Sends a signal and waits for the end. */
  end(signal?: NodeJS.Signals): Promise<number | null>;
}

/** @param name of a program in `dist/`, such as `src/main.worker.js` */
export function startProcess(
  name: string,
  env: Record<string, string>,
  args: readonly string[] = [],
): ServiceProcess {
  const { PATH, HOME, TMPDIR } = process.env;
  const child = spawn(process.execPath, [join(root, 'dist', name), ...args], {
    // Several processes would otherwise all want the same metrics port.
    env: { PATH, HOME, TMPDIR, NODE_ENV: 'production', METRICS_ADDRESS: 'off', ...env },
    stdio: ['ignore', 'ignore', 'pipe'],
  });
  let log = '';
  let isOver = false;
  child.stderr.on('data', (chunk: Buffer) => (log += chunk.toString()));
  const ended = once(child, 'close').then(([code]) => {
    isOver = true;
    return code as number | null;
  });
  const says = (what: string | RegExp): boolean =>
    typeof what === 'string' ? log.includes(what) : what.test(log);
  return {
    child,
    pid: child.pid ?? 0,
    log: () => log,
    async untilSays(what, withinMs = 120_000) {
      const complaint = (): string => `${name} did not say ${String(what)}; it said:\n${log}`;
      await until(() => says(what) || isOver, withinMs, complaint);
      if (!says(what)) throw new Error(complaint());
    },
    ended,
    hasEnded: () => isOver,
    async killHard() {
      child.kill('SIGKILL');
      await ended;
    },
    end(signal = 'SIGTERM') {
      child.kill(signal);
      return ended;
    },
  };
}
