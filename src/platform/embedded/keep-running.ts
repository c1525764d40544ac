import { once } from 'node:events';
import { setTimeout as delay } from 'node:timers/promises';
import type { Message } from '../../domain/message.js';
import { EmbeddedPostgresError } from './embedded-error.js';
import { message } from './messages.js';
import { stopPostmaster, type Postmaster } from './postmaster.js';
import { isRunning } from './processes.js';
import { hasBeenWaitedFor, logPathOf, startServer, type Running, type StartOptions } from './start-server.js';

/** A server that stops more often than this within `ENDS_WITHIN_MS` is not restarted. */
const ENDS_LIMIT = 5;
const ENDS_WITHIN_MS = 60_000;
/** Consecutive failed starts before giving up. */
const STARTS_LIMIT = 3;
/** How often to check a taken-over server, which is not our child process. */
const LOOK_EVERY_MS = 500;
/**
 * Wait before a restart: the same person may be ending this process too, and idle sessions take a
 * moment to notice.
 */
const PAUSE_MS = 300;

export interface KeepOptions extends Omit<StartOptions, 'port' | 'keepsPort' | 'signal'> {
  /** Aborted when the process is ending. From then on, a server that stops is left stopped. */
  signal?: AbortSignal;
  /** Called when the server is running again at the same address. */
  onBack: (postmaster: Postmaster) => void;
  /** Called when the server has stopped and will not be restarted. */
  onLost: (error: EmbeddedPostgresError) => void;
}

/**
 * Keeps a server running until `stop()`: if the server stops or is killed, restarts it on its port.
 */
export class KeptServer {
  private readonly stopping = new AbortController();
  private readonly over: AbortSignal;
  private readonly keeping: Promise<void>;
  private ends: number[] = [];

  constructor(
    private running: Running,
    private readonly options: KeepOptions,
  ) {
    const { signal } = options;
    this.over = signal ? AbortSignal.any([signal, this.stopping.signal]) : this.stopping.signal;
    this.keeping = this.keep().catch((error: unknown) =>
      this.lose(
        message('embedded-lost', {
          ...this.server,
          why: error instanceof Error ? error.message : String(error),
        }),
      ),
    );
  }

  get postmaster(): Postmaster {
    return this.running.postmaster;
  }

  /** Stops the server and waits until it is gone. */
  async stop(): Promise<void> {
    this.stopping.abort();
    await this.keeping;
    await stopPostmaster(this.postmaster);
  }

  private async keep(): Promise<void> {
    for (;;) {
      await untilGone(this.running, this.over);
      if (!(await this.pause())) return;
      const { onProgress, onBack } = this.options;
      const { port } = this.postmaster;
      if (this.endsTooOften()) {
        this.lose(message('embedded-stopped-too-often', { ...this.server, times: ENDS_LIMIT + 1 }));
        return;
      }
      onProgress(message('embedded-restarting', { ...this.server, ...howEnded(this.running) }));
      const again = await this.startAgain();
      if (!again) return;
      this.running = again;
      onBack(again.postmaster);
      const pid = String(again.postmaster.pid);
      onProgress(message('embedded-running-again', { pid, port: String(port) }));
    }
  }

  private endsTooOften(): boolean {
    const now = performance.now();
    this.ends = [...this.ends.filter((at) => now - at < ENDS_WITHIN_MS), now];
    return this.ends.length > ENDS_LIMIT;
  }

  /** Returns null when the server does not start, or should stay down. */
  private async startAgain(): Promise<Running | null> {
    const { port } = this.postmaster;
    for (let failures = 0; ;) {
      try {
        return await startServer({ ...this.options, port, keepsPort: true, signal: this.over });
      } catch (error) {
        if (this.over.aborted) return null;
        if (++failures === STARTS_LIMIT || hasBeenWaitedFor(error)) {
          const why = error instanceof EmbeddedPostgresError ? error.reason : String(error);
          this.lose(message('embedded-not-started-again', { ...this.server, why }));
          return null;
        }
        if (!(await this.pause())) return null;
      }
    }
  }

  private lose(what: Message): void {
    this.options.onLost(new EmbeddedPostgresError(what));
  }

  /** How messages name the server: its pid, and the path of its log. */
  private get server(): { pid: string; path: string } {
    return { pid: String(this.postmaster.pid), path: logPathOf(this.options.dataDir) };
  }

  /** Returns false when the server should stay down. */
  private async pause(): Promise<boolean> {
    if (!this.over.aborted) await unlessAborted(delay(PAUSE_MS, undefined, { signal: this.over }));
    return !this.over.aborted;
  }
}

async function untilGone({ child, postmaster }: Running, over: AbortSignal): Promise<void> {
  if (child) {
    const isThere = child.exitCode === null && child.signalCode === null;
    if (isThere && !over.aborted) await unlessAborted(once(child, 'exit', { signal: over }));
    return;
  }
  while (!over.aborted && isRunning(postmaster.pid, postmaster.startToken)) {
    await unlessAborted(delay(LOOK_EVERY_MS, undefined, { ref: false, signal: over }));
  }
}

async function unlessAborted(waiting: Promise<unknown>): Promise<void> {
  await waiting.catch(() => undefined);
}

/** How the server ended. Known only for a child process, not for a server that was taken over. */
function howEnded({ child }: Running): { ending: 'signal' | 'code' | 'unknown'; by: string } {
  if (!child) return { ending: 'unknown', by: '' };
  const { signalCode, exitCode } = child;
  return signalCode === null
    ? { ending: 'code', by: String(exitCode) }
    : { ending: 'signal', by: signalCode };
}
