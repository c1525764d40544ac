import { Injectable } from '@nestjs/common';
import { Gauge, Histogram } from 'prom-client';
import { QUEUES, WorkQueue } from './work-queue.js';
import { Metrics } from '../observability/metrics.js';

/**
 * In seconds. The shortest jobs are reminders that no longer need to be sent; the longest are the
 * nightly work of a large fleet.
 */
const JOB_BUCKETS = [0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 5, 10, 30, 60, 300];

/** `failed` is left out: failed jobs are removed from the queue, and counted below. */
const STATES = ['waiting', 'active', 'delayed', 'prioritized'] as const;

/**
 * A queue that has not answered by then counts as away. The client that reads the metrics would
 * soon give up too.
 */
const ANSWER_WITHIN_MS = 2_000;

/** Measures how full the queue is and how its jobs end. */
@Injectable()
export class QueueMetrics {
  private readonly durations: Histogram<'queue' | 'job' | 'outcome'>;

  constructor(metrics: Metrics, workQueue: WorkQueue) {
    const registers = [metrics.registry];
    this.durations = new Histogram({
      name: 'weephole_job_duration_seconds',
      help: 'How long jobs of this process took, by queue, job and outcome (done or failed)',
      labelNames: ['queue', 'job', 'outcome'],
      buckets: JOB_BUCKETS,
      registers,
    });
    const depth: Gauge<'queue' | 'state'> = new Gauge({
      name: 'weephole_queue_jobs',
      help: 'Jobs in the queue, by queue and state; the same from every process, and none while the queue is away',
      labelNames: ['queue', 'state'],
      registers,
      async collect() {
        depth.reset();
        await Promise.all(
          QUEUES.map(async (queue) => {
            const counts = await inTime(workQueue.queue(queue).getJobCounts(...STATES)).catch(() => ({}));
            for (const [state, count] of Object.entries(counts)) depth.set({ queue, state }, count);
          }),
        );
      },
    });
  }

  observe(queue: string, job: string, outcome: 'done' | 'failed', seconds: number): void {
    this.durations.observe({ queue, job, outcome }, seconds);
  }
}

function inTime<T>(answer: Promise<T>): Promise<T> {
  let timer: NodeJS.Timeout | undefined;
  const late = new Promise<never>((_resolve, reject) => {
    timer = setTimeout(() => reject(new Error('no answer in time')), ANSWER_WITHIN_MS);
  });
  return Promise.race([answer, late]).finally(() => clearTimeout(timer));
}
