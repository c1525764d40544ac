import type { Queue, Worker, WorkerOptions } from 'bullmq';

/** A queued job: a name and ids, never content; the row it speaks of is the truth. */
export type JobData = Record<string, string | number>;

export type JobProcessor = (name: string, data: JobData, id: string) => Promise<void>;

/** What both backends offer. */
export interface QueueConnections {
  queue(name: string): Queue<JobData>;
  worker(name: string, processor: JobProcessor, concurrency: number): Worker<JobData>;
  /** Resolves when the backend answers. @throws Error when it does not */
  ping(): Promise<void>;
  /**
   * Checks what no waiting would mend. @throws Error when the queue's tables are missing or closed
   * to this login
   */
  assertUsable(): Promise<void>;
  close(): Promise<void>;
}

/** How long a worker listens before it looks for itself, since a call may have been lost. */
export const LOOK_EVERY_S = 3;

/**
 * How often a worker looks for jobs, and when those of a killed one are taken up: once its lock has
 * run out, at the next look for such.
 */
export function lookOptions(
  lockMs: number,
): Pick<
  WorkerOptions,
  'drainDelay' | 'runRetryDelay' | 'lockDuration' | 'stalledInterval' | 'maxStalledCount'
> {
  return {
    drainDelay: LOOK_EVERY_S,
    runRetryDelay: LOOK_EVERY_S * 1000,
    lockDuration: lockMs,
    stalledInterval: Math.ceil(lockMs / 3),
    // A job that is interrupted by a crash is not to blame for it.
    maxStalledCount: 25,
  };
}

/**
 * Bounds the wait for a delayed job, too. BullMQ has no option for that, and listens for up to an
 * hour on PostgreSQL.
 */
export function lookingOften<W extends object>(worker: W): W {
  return Object.defineProperty(worker, 'maximumBlockTimeout', { value: LOOK_EVERY_S });
}

/** Idle for so long, a connection is probed by TCP. */
export const KEEPALIVE_MS = 10_000;

/** Finished jobs are removed, or the same job id could never be queued again. */
export const DEFAULT_JOB = { removeOnComplete: true, removeOnFail: true } as const;
