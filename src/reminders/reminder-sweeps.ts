import { type BeforeApplicationShutdown, Injectable, Logger } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource } from 'typeorm';
import { inFleet } from '../platform/database/fleet-scope.js';
import { type QueuedJob, WorkQueue } from '../platform/queue/work-queue.js';
import { hasTarget } from './reminder-targets.queries.js';

/** A job carries no more ids than this. */
const VEHICLES_PER_JOB = 500;

/**
 * Asks the worker to look for due lines that have entered a stage. The caller neither waits for the queue nor hears of its troubles:
 * what is not queued now is found by the next morning's sweep.
 */
@Injectable()
export class ReminderSweeps implements BeforeApplicationShutdown {
  private readonly underWay = new Set<Promise<unknown>>();

  private readonly logger = new Logger('sweep');

  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly queue: WorkQueue,
  ) {}

  /** Call when what was recorded about the vehicles has been committed. */
  afterCommit(fleetId: string, vehicleIds: string[]): void {
    const jobs: QueuedJob<'work'>[] = [];
    for (let from = 0; from < vehicleIds.length; from += VEHICLES_PER_JOB) {
      const part = vehicleIds.slice(from, from + VEHICLES_PER_JOB);
      jobs.push({ name: 'sweep-vehicles', data: { fleetId, vehicleIds: part } });
    }
    this.ask(fleetId, jobs);
  }

  /** Resolves when all that was asked for so far is in the queue, or could not be put there. */
  async untilAsked(): Promise<void> {
    await Promise.all(this.underWay);
  }

  beforeApplicationShutdown(): Promise<void> {
    return this.untilAsked();
  }

  private ask(fleetId: string, jobs: QueuedJob<'work'>[]): void {
    const asked = this.askIfHeard(fleetId, jobs).finally(() => this.underWay.delete(asked));
    this.underWay.add(asked);
  }

  /** Where nobody hears of anything there is nothing to look for; a target that is added later is told of what stands then. */
  private async askIfHeard(fleetId: string, jobs: QueuedJob<'work'>[]): Promise<void> {
    try {
      const scope = { fleetId, timeZone: 'UTC', units: 'si', tokenId: null, role: null } as const;
      const isHeard = await inFleet(scope, () => hasTarget(this.dataSource.manager, fleetId));
      if (isHeard) await this.queue.add('work', jobs);
    } catch (error) {
      this.logger.warn(`a sweep could not be asked for; the morning's finds it: ${String(error)}`);
    }
  }
}
