import { Injectable } from '@nestjs/common';
import { Problem } from '../../platform/problems/problem.js';
import { message } from './messages.js';

interface Waiting {
  fleetId: string;
  start(): void;
}

/**
 * Limits how many uploads a process accepts at a time. They cannot fill its disk, and one fleet
 * leaves room for the others. Further uploads wait a moment before they are read.
 */
@Injectable()
export class UploadPlaces {
  // Read on each use, so that a test can set lower limits.
  most = 64;
  mostOfFleet = 32;
  mostWaitingOfFleet = 64;
  waitMs = 10_000;
  private readonly taken = new Map<string, number>();
  private readonly waiting: Waiting[] = [];

  /**
   * Runs one upload as soon as there is a place for it.
   *
   * @throws Problem 429 when no place becomes free in time
   */
  async within<T>(fleetId: string, work: () => Promise<T>): Promise<T> {
    if (this.hasRoom(fleetId)) this.count(fleetId, 1);
    else await this.waitFor(fleetId);
    try {
      return await work();
    } finally {
      this.count(fleetId, -1);
      this.startNext();
    }
  }

  private waitFor(fleetId: string): Promise<void> {
    const before = this.waiting.filter((each) => each.fleetId === fleetId).length;
    if (before >= this.mostWaitingOfFleet) throw this.tooMany();
    return new Promise((resolve, reject) => {
      const waiting: Waiting = {
        fleetId,
        start: () => {
          clearTimeout(timer);
          this.count(fleetId, 1);
          resolve();
        },
      };
      const giveUp = (): void => {
        this.waiting.splice(this.waiting.indexOf(waiting), 1);
        reject(this.tooMany());
      };
      const timer = setTimeout(giveUp, this.waitMs);
      this.waiting.push(waiting);
    });
  }

  /** Gives a free place to the upload that has waited longest and may have it. */
  private startNext(): void {
    const index = this.waiting.findIndex(({ fleetId }) => this.hasRoom(fleetId));
    if (index !== -1) this.waiting.splice(index, 1)[0]?.start();
  }

  private hasRoom(fleetId: string): boolean {
    const all = [...this.taken.values()].reduce((sum, count) => sum + count, 0);
    return all < this.most && (this.taken.get(fleetId) ?? 0) < this.mostOfFleet;
  }

  private count(fleetId: string, change: number): void {
    const count = (this.taken.get(fleetId) ?? 0) + change;
    if (count > 0) this.taken.set(fleetId, count);
    else this.taken.delete(fleetId);
  }

  private tooMany(): Problem {
    const seconds = Math.max(1, Math.ceil(this.waitMs / 1000));
    const detail = message('attachment-uploads-full', { most: this.mostOfFleet, seconds });
    return new Problem(429, 'too-many-uploads', detail, [], { 'retry-after': String(seconds) });
  }
}
