import type { Queue, Worker, WorkerOptions } from 'bullmq';

/** A queued job: a name and ids, never content. The row in the database is authoritative. */
export type JobData = Record<string, string | number>;

export type JobProcessor = (name: string, data: JobData, id: string) => Promise<void>;

/** What both queue backends offer. */
export interface QueueConnections {
  queue(name: string): Queue<JobData>;
  worker(name: string, processor: JobProcessor, concurrency: number): Worker<JobData>;
  /** Resolves when the backend answers. @throws Error when it does not */
  ping(): Promise<void>;
  /**
   * Checks for faults that waiting would not fix. @throws Error when the queue's tables are missing
   * or not open to this login
   */
  assertUsable(): Promise<void>;
  close(): Promise<void>;
}

/**
 * How long a worker listens before it checks the queue itself, since a notification may be lost.
 */
export const LOOK_EVERY_S = 3;

/**
 * Options for how often a worker checks for jobs, and when it takes over those of a killed worker:
 * at the next check for stalled jobs after their lock has expired.
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
    // A job is not to blame for the crash that interrupts it, so many interruptions are allowed.
    maxStalledCount: 25,
  };
}

/**
 * Limits a worker's wait for delayed jobs as well. BullMQ has no option for that, and on PostgreSQL
 * listens for up to an hour.
 */
export function lookingOften<W extends object>(worker: W): W {
  return Object.defineProperty(worker, 'maximumBlockTimeout', { value: LOOK_EVERY_S });
}

/** TCP probes a connection that has been idle for this long. */
export const KEEPALIVE_MS = 10_000;

/** Finished jobs are removed; otherwise the same job id could never be queued again. */
export const DEFAULT_JOB = { removeOnComplete: true, removeOnFail: true } as const;
