import { Inject, Injectable, Logger, type OnApplicationShutdown } from '@nestjs/common';
import type { JobsOptions, Queue } from 'bullmq';
import type { JobData, QueueConnections } from './connections.js';
import { QUEUES } from './queues.js';

export const QUEUE_CONNECTIONS = Symbol('queue connections');

export { QUEUES } from './queues.js';
export type QueueName = (typeof QUEUES)[number];

/** Every kind of job, by queue. The worker checks at start that each has exactly one handler. */
export const JOBS = {
  work: [
    'sweep-fleet',
    'sweep-vehicles',
    'refresh-cohorts',
    'prune-events',
    'prune-idempotency-records',
    'apply-retention',
  ],
  deliveries: ['deliver-reminder'],
  planning: ['solve-visit-plan'],
  sources: ['poll-source'],
} as const satisfies Record<QueueName, readonly string[]>;
export type JobName<Q extends QueueName> = (typeof JOBS)[Q][number];

export interface QueuedJob<Q extends QueueName = QueueName> {
  name: JobName<Q>;
  data: JobData;
  /** Job id: while a job with this id is queued, it is not queued again. Must not contain `:`. */
  id?: string;
  delayMs?: number;
  /**
   * Deduplication key: while a job with the same key waits, this one is not queued. See `begun`.
   */
  onceWaiting?: string;
  /**
   * The lower the number, the sooner the job runs. Jobs without a priority run before all others.
   */
  priority?: number;
}

/**
 * Puts jobs into the queue. A job that cannot be queued is only logged: its row stays in the
 * database, and the next sweep finds it.
 */
@Injectable()
export class WorkQueue implements OnApplicationShutdown {
  private readonly logger = new Logger('queue');
  private readonly queues = new Map<QueueName, Queue<JobData>>();

  constructor(@Inject(QUEUE_CONNECTIONS) private readonly connections: QueueConnections) {
    for (const name of QUEUES) {
      const queue = connections.queue(name);
      queue.on('error', () => undefined);
      this.queues.set(name, queue);
    }
  }

  queue(name: QueueName): Queue<JobData> {
    const queue = this.queues.get(name);
    if (!queue) throw new Error(`there is no queue ${name}`);
    return queue;
  }

  /** @returns whether the jobs were queued */
  async add<Q extends QueueName>(queueName: Q, jobs: QueuedJob<Q>[]): Promise<boolean> {
    if (jobs.length === 0) return true;
    try {
      await this.queue(queueName).addBulk(
        jobs.map(({ name, data, id, delayMs, onceWaiting, priority }) => ({
          name,
          data,
          opts: {
            ...(id ? { jobId: id } : {}),
            ...(delayMs ? { delay: delayMs } : {}),
            ...(onceWaiting ? { deduplication: { id: onceWaiting } } : {}),
            ...(priority ? { priority } : {}),
          } satisfies JobsOptions,
        })),
      );
      return true;
    } catch (error) {
      this.logger.warn(
        `${jobs.length} ${jobs[0]?.name} could not be queued; the next sweep takes them up: ${String(error)}`,
      );
      return false;
    }
  }

  /**
   * Marks the job with this deduplication key as begun, so the next job with the key can be queued.
   */
  async begun(queueName: QueueName, onceWaiting: string): Promise<void> {
    await this.queue(queueName).removeDeduplicationKey(onceWaiting);
  }

  /** How many jobs of a queue are ready to run; 0 while the queue is away. */
  async waiting(name: QueueName): Promise<number> {
    return this.queue(name)
      .getJobCountByTypes('waiting', 'prioritized')
      .catch(() => 0);
  }

  /** How many of a queue's waiting jobs have one of these priorities. */
  async waitingOf(name: QueueName, priorities: number[]): Promise<number> {
    const counts = await this.queue(name)
      .getCountsPerPriority(priorities)
      .catch(() => ({}));
    return Object.values(counts).reduce((sum, count) => sum + count, 0);
  }

  async onApplicationShutdown(): Promise<void> {
    await Promise.allSettled([...this.queues.values()].map((queue) => queue.close()));
    await this.connections.close();
  }
}
