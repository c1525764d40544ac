import { type BeforeApplicationShutdown, Injectable } from '@nestjs/common';
import { setTimeout as delay } from 'node:timers/promises';
import { WorkQueue } from '../../platform/queue/work-queue.js';

/** Wake-ups within this time are merged into one: many posts at once are few sweeps. */
const FOR_OTHERS_MS = 150;

/** When to look again for rows of open transactions: a rollback wakes nobody. */
const AGAIN_AFTER_MS = 1_000;

/**
 * Wakes a worker to empty a fleet's outbox. One job waits in the queue for each fleet, however
 * many changes there were. The caller neither waits for the queue nor hears of its troubles: the
 * worker's next look finds the rows whose wake-up was lost.
 */
@Injectable()
export class WakeUps implements BeforeApplicationShutdown {
  private readonly underWay = new Map<string, Promise<void>>();
  private readonly asked = new Set<string>();
  private readonly later = new Map<string, NodeJS.Timeout>();

  constructor(private readonly queue: WorkQueue) {}

  /** Call when the outbox rows have been committed. */
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

  /** Call before reading the outbox: a change from now on puts a new job into the queue. */
  async answered(fleetId: string): Promise<void> {
    await this.queue.begun('work', fleetId);
  }

  /** Resolves when every wake-up so far is in the queue, or could not be put there. */
  async untilSent(): Promise<void> {
    await Promise.all(this.underWay.values());
  }

  beforeApplicationShutdown(): Promise<void> {
    for (const timer of this.later.values()) clearTimeout(timer);
    return this.untilSent();
  }

  /**
   * A change may be committed too late for a job that is on its way to the queue: that takes
   * another.
   */
  private async send(fleetId: string): Promise<void> {
    while (this.asked.delete(fleetId)) {
      await this.queue.add('work', [{ name: 'sweep-vehicles', data: { fleetId }, onceWaiting: fleetId }]);
      await delay(FOR_OTHERS_MS);
    }
  }
}
