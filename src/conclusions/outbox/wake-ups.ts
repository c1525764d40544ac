import { type BeforeApplicationShutdown, Injectable } from '@nestjs/common';
import { setTimeout as delay } from 'node:timers/promises';
import { WorkQueue } from '../../platform/queue/work-queue.js';

/** Wake-ups within this time are merged into one, so that many posts cause few sweeps. */
const FOR_OTHERS_MS = 150;

/** When to look again for rows of open transactions. A rollback wakes nobody. */
const AGAIN_AFTER_MS = 1_000;

/**
 * Wakes a worker to empty a fleet's outbox. Each fleet has one job waiting in the queue, however
 * many changes there were. The caller does not wait for the queue and does not see its errors. If a
 * wake-up is lost, the worker finds the rows when it looks the next time.
 */
@Injectable()
export class WakeUps implements BeforeApplicationShutdown {
  private readonly underWay = new Map<string, Promise<void>>();
  private readonly asked = new Set<string>();
  private readonly later = new Map<string, NodeJS.Timeout>();

  constructor(private readonly queue: WorkQueue) {}

  /** Call this after the outbox rows have been committed. */
  wake(fleetId: string): void {
    this.asked.add(fleetId);
    if (this.underWay.has(fleetId)) return;
    this.underWay.set(
      fleetId,
      this.send(fleetId).finally(() => this.underWay.delete(fleetId)),
    );
  }

  wakeLater(fleetId: string): void {
    if (this.later.has(fleetId)) return;
    const timer = setTimeout(() => {
      this.later.delete(fleetId);
      this.wake(fleetId);
    }, AGAIN_AFTER_MS);
    this.later.set(fleetId, timer.unref());
  }

  /**
   * Call this before reading the outbox. A change after this call puts a new job into the queue.
   */
  async answered(fleetId: string): Promise<void> {
    await this.queue.begun('work', fleetId);
  }

  /** Resolves when every wake-up so far has been queued, or could not be queued. */
  async untilSent(): Promise<void> {
    await Promise.all(this.underWay.values());
  }

  beforeApplicationShutdown(): Promise<void> {
    for (const timer of this.later.values()) clearTimeout(timer);
    return this.untilSent();
  }

  /**
   * A change may be committed too late for a job that is already on its way to the queue. That
   * change gets another job.
   */
  private async send(fleetId: string): Promise<void> {
    while (this.asked.delete(fleetId)) {
      await this.queue.add('work', [{ name: 'sweep-vehicles', data: { fleetId }, onceWaiting: fleetId }]);
      await delay(FOR_OTHERS_MS);
    }
  }
}
