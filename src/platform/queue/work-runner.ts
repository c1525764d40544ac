import {
  Inject,
  Injectable,
  Logger,
  type BeforeApplicationShutdown,
  type OnApplicationBootstrap,
} from '@nestjs/common';
import type { Worker } from 'bullmq';
import { Config } from '../config/config.js';
import { withLogFields } from '../observability/log.js';
import { QueueMetrics } from './queue-metrics.js';
import type { JobData, QueueConnections } from './connections.js';
import { type JobName, JOBS, QUEUE_CONNECTIONS, type QueueName, QUEUES } from './work-queue.js';

/** Runs after the job has left the queue, when the same job id can be queued again. */
export type Afterwards = () => Promise<void>;

export type JobHandler = (data: JobData) => Promise<Afterwards | void>;

/** The handler of every job, by queue. The worker module lists them. */
export type JobHandlers = { [Q in QueueName]: Record<JobName<Q>, JobHandler> };

/** @throws Error when a queued job has no handler, or a handler is for a job that nothing queues */
export function assertEveryJobHandled(handlers: Record<QueueName, Record<string, JobHandler>>): void {
  for (const queue of QUEUES) {
    const names: readonly string[] = JOBS[queue];
    const missing = names.filter((name) => !Object.hasOwn(handlers[queue], name));
    const idle = Object.keys(handlers[queue]).filter((name) => !names.includes(name));
    if (missing.length > 0)
      throw new Error(`jobs of the queue ${queue} without a handler: ${missing.join(', ')}`);
    if (idle.length > 0) throw new Error(`handlers of the queue ${queue} for no job: ${idle.join(', ')}`);
  }
}

export const JOB_HANDLERS = Symbol('job handlers');

/**
 * After this time the process ends even if a job is still running. Another worker takes the job up
 * again.
 */
const CLOSE_WITHIN_MS = 10_000;

/** Takes jobs from the queues and runs their handlers. */
@Injectable()
export class WorkRunner implements OnApplicationBootstrap, BeforeApplicationShutdown {
  private readonly logger = new Logger('worker');
  private workers: Worker<JobData>[] = [];
  private readonly afterwards = new Map<string, Afterwards>();
  private readonly ending = new Set<Promise<void>>();
  private lastErrorAt = 0;

  constructor(
    @Inject(QUEUE_CONNECTIONS) private readonly connections: QueueConnections,
    @Inject(JOB_HANDLERS) private readonly handlers: JobHandlers,
    private readonly config: Config,
    private readonly metrics: QueueMetrics,
  ) {}

  onApplicationBootstrap(): void {
    assertEveryJobHandled(this.handlers);
    this.workers = QUEUES.map((name) => {
      const worker = this.connections.worker(
        name,
        (job, data, id) => withLogFields({ jobId: id, job }, () => this.run(name, job, data, id)),
        this.concurrencyOf(name),
      );
      worker.on('error', (error) => this.complain(error));
      worker.on('completed', ({ id = '' }) => this.completed(id));
      worker.on('failed', (job, error) =>
        this.logger.error({ jobId: job?.id, job: job?.name, msg: `failed: ${error.stack ?? error.message}` }),
      );
      return worker;
    });
  }

  private concurrencyOf(queue: QueueName): number {
    const { queueConcurrency, deliveryConcurrency, pollConcurrency } = this.config;
    return {
      work: queueConcurrency,
      deliveries: deliveryConcurrency,
      planning: 1,
      sources: pollConcurrency,
    }[queue];
  }

  private async run(queue: QueueName, job: string, data: JobData, id: string): Promise<void> {
    const handler = (this.handlers[queue] as Record<string, JobHandler | undefined>)[job];
    if (!handler) throw new Error(`no handler for the job ${job} of the queue ${queue}`);
    const begun = performance.now();
    const took = (): number => (performance.now() - begun) / 1000;
    try {
      const after = await handler(data);
      if (after) this.afterwards.set(id, after);
      this.metrics.observe(queue, job, 'done', took());
      this.logger.debug({ durationMs: Math.round(took() * 1000), msg: 'done' });
    } catch (error) {
      this.metrics.observe(queue, job, 'failed', took());
      throw error;
    }
  }

  private completed(id: string): void {
    const after = this.afterwards.get(id);
    if (!after) return;
    this.afterwards.delete(id);
    const ending = after()
      .catch((error: unknown) => this.logger.error({ jobId: id, msg: `failed afterwards: ${String(error)}` }))
      .finally(() => this.ending.delete(ending));
    this.ending.add(ending);
  }

  /**
   * Logs a queue error at most once every ten seconds. A backend that is away reports errors many
   * times a second.
   */
  private complain(error: Error): void {
    const now = performance.now();
    if (this.lastErrorAt !== 0 && now - this.lastErrorAt < 10_000) return;
    this.lastErrorAt = now;
    this.logger.warn(`the queue is in trouble: ${error.message}`);
  }

  /** Waits until every worker is ready to take jobs. */
  async untilReady(): Promise<void> {
    await Promise.all(this.workers.map((worker) => worker.waitUntilReady()));
  }

  /** Starts no job until `work` has ended. */
  async pausedFor<T>(work: () => Promise<T>): Promise<T> {
    await Promise.all(this.workers.map((worker) => worker.pause()));
    try {
      return await work();
    } finally {
      for (const worker of this.workers) if (!worker.closing) void worker.resume();
    }
  }

  // Must run before WorkQueue closes the connections. Nest calls beforeApplicationShutdown before
  // onApplicationShutdown.
  async beforeApplicationShutdown(): Promise<void> {
    const closed = Promise.allSettled(this.workers.map((worker) => worker.close()));
    const late = new Promise<'late'>((resolve) => setTimeout(() => resolve('late'), CLOSE_WITHIN_MS).unref());
    if ((await Promise.race([closed, late])) === 'late') {
      this.logger.warn('a job is still running; another worker will run it again');
      await Promise.allSettled(this.workers.map((worker) => worker.close(true)));
    }
    await Promise.allSettled(this.ending);
    this.workers = [];
  }
}
