import { type BeforeApplicationShutdown, Injectable } from '@nestjs/common';
import { setTimeout as delay } from 'node:timers/promises';
import { WorkQueue } from '../platform/queue/work-queue.js';

/** Calls within this time are merged into one: many posts at once are few sweeps. */
const FOR_OTHERS_MS = 150;

/** When to look again for rows of open transactions: after a rollback nobody else calls. */
const AGAIN_AFTER_MS = 1_000;

/**
 * Calls a worker to sweep a fleet's vehicles that have an outbox row. One call waits for each
 * fleet, however many ask. The caller neither waits for the queue nor hears of its troubles: the
 * next look finds vehicles whose call was lost.
 */
@Injectable()
export class SweepCalls implements BeforeApplicationShutdown {
  private readonly underWay = new Map<string, Promise<void>>();
  private readonly asked = new Set<string>();
  private readonly later = new Map<string, NodeJS.Timeout>();

  constructor(private readonly queue: WorkQueue) {}

  /** Call when what is asked for has been committed. */
  call(fleetId: string): void {
    this.asked.add(fleetId);
    if (this.underWay.has(fleetId)) return;
    this.underWay.set(
      fleetId,
      this.callOn(fleetId).finally(() => this.underWay.delete(fleetId)),
    );
  }

  callLater(fleetId: string): void {
    if (this.later.has(fleetId)) return;
    const timer = setTimeout(() => {
      this.later.delete(fleetId);
      this.call(fleetId);
    }, AGAIN_AFTER_MS);
    this.later.set(fleetId, timer.unref());
  }

  /** To be called before the look: who asks from now on calls anew. */
  async answered(fleetId: string): Promise<void> {
    await this.queue.begun('work', fleetId);
  }

  /** Resolves when all that was called for so far is in the queue, or could not be put there. */
  async untilCalled(): Promise<void> {
    await Promise.all(this.underWay.values());
  }

  beforeApplicationShutdown(): Promise<void> {
    for (const timer of this.later.values()) clearTimeout(timer);
    return this.untilCalled();
  }

  /** Who asks while a call is on its way to the queue may have committed too late for it. */
  private async callOn(fleetId: string): Promise<void> {
    while (this.asked.delete(fleetId)) {
      await this.queue.add('work', [{ name: 'sweep-vehicles', data: { fleetId }, onceWaiting: fleetId }]);
      await delay(FOR_OTHERS_MS);
    }
  }
}
