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

/** What is done once a job has left the queue, when the same id can be queued again. */
export type Afterwards = () => Promise<void>;

export type JobHandler = (data: JobData) => Promise<Afterwards | void>;

/** Which job is done by whom, queue by queue; the worker module lists them. */
export type JobHandlers = { [Q in QueueName]: Record<JobName<Q>, JobHandler> };

/**
 * @throws Error when a job that is queued has no handler, or a handler waits for a job that nobody
 * queues
 */
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

/** After this the process ends although a job still runs; the job is taken up again elsewhere. */
const CLOSE_WITHIN_MS = 10_000;

/** Takes jobs out of the queues and has them done. */
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
    const { queueConcurrency, deliveryConcurrency } = this.config;
    return { work: queueConcurrency, deliveries: deliveryConcurrency, planning: 1 }[queue];
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
   * A backend that is away reports itself many times a second; once every ten seconds is enough.
   */
  private complain(error: Error): void {
    const now = performance.now();
    if (this.lastErrorAt !== 0 && now - this.lastErrorAt < 10_000) return;
    this.lastErrorAt = now;
    this.logger.warn(`the queue is in trouble: ${error.message}`);
  }

  /** Waits until every worker has taken its place. */
  async untilReady(): Promise<void> {
    await Promise.all(this.workers.map((worker) => worker.waitUntilReady()));
  }

  /** Begins no job until `work` has ended. */
  async pausedFor<T>(work: () => Promise<T>): Promise<T> {
    await Promise.all(this.workers.map((worker) => worker.pause()));
    try {
      return await work();
    } finally {
      for (const worker of this.workers) if (!worker.closing) void worker.resume();
    }
  }

  // Before the connections are closed by WorkQueue, which is asked later: beforeApplicationShutdown
  // comes first.
  async beforeApplicationShutdown(): Promise<void> {
    const closed = Promise.allSettled(this.workers.map((worker) => worker.close()));
    const late = new Promise<'late'>((resolve) => setTimeout(() => resolve('late'), CLOSE_WITHIN_MS).unref());
    if ((await Promise.race([closed, late])) === 'late') {
      this.logger.warn('a job is still running; it will be taken up again elsewhere');
      await Promise.allSettled(this.workers.map((worker) => worker.close(true)));
    }
    await Promise.allSettled(this.ending);
    this.workers = [];
  }
}
