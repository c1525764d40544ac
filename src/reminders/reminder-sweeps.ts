import { type BeforeApplicationShutdown, Injectable } from '@nestjs/common';
import { type QueuedJob, WorkQueue } from '../platform/queue/work-queue.js';

/** A job carries no more ids than this. */
const VEHICLES_PER_JOB = 500;

/**
 * Asks the worker to look for due lines that have entered a stage. The caller neither waits for the queue nor hears of its troubles:
 * what is not queued now is found by the next morning's sweep.
 */
@Injectable()
export class ReminderSweeps implements BeforeApplicationShutdown {
  private readonly underWay = new Set<Promise<unknown>>();

  constructor(private readonly queue: WorkQueue) {}

  /** Call when what was recorded about the vehicles has been committed. */
  afterCommit(fleetId: string, vehicleIds: string[]): void {
    const jobs: QueuedJob<'work'>[] = [];
    for (let from = 0; from < vehicleIds.length; from += VEHICLES_PER_JOB) {
      const part = vehicleIds.slice(from, from + VEHICLES_PER_JOB);
      jobs.push({ name: 'sweep-vehicles', data: { fleetId, vehicleIds: part } });
    }
    this.ask(jobs);
  }

  /** Tells a target that is new, or may hear of more than before, what stands already. */
  forTarget(fleetId: string, targetId: string): void {
    this.ask([{ name: 'sweep-fleet', data: { fleetId, targetId } }]);
  }

  /** Resolves when all that was asked for so far is in the queue, or could not be put there. */
  async untilAsked(): Promise<void> {
    await Promise.all(this.underWay);
  }

  beforeApplicationShutdown(): Promise<void> {
    return this.untilAsked();
  }

  private ask(jobs: QueuedJob<'work'>[]): void {
    const asked = this.queue.add('work', jobs).finally(() => this.underWay.delete(asked));
    this.underWay.add(asked);
  }
}
