import { Logger } from '@nestjs/common';
import type { FastifyReply } from 'fastify';
import { Problem } from '../problems/problem.js';
import { type RateStore, WINDOW_SECONDS } from './rate-store.js';
import { message } from './messages.js';

/** A process reports its count to the others each time it has used this part of the limit. */
const PARTS_TOLD = 8;
const WINDOW_MS = WINDOW_SECONDS * 1000;

interface Count {
  /** Made in all processes, as far as this one knows. */
  made: number;
  /** Counted here but not reported to the others yet. */
  untold: number;
}

/**
 * Allows each fleet a number of requests per clock minute, over all its tokens and all processes.
 * Each process counts by itself and reports after every eighth of the limit, and no request waits
 * for that. With several processes, a fleet may get a few eighths more than its limit. When the
 * store is away, each process allows the whole limit.
 */
export class FleetAllowance {
  private readonly logger = new Logger('limits');
  private readonly part: number;
  private minute = -1;
  private readonly counts = new Map<string, Count>();
  /**
   * Fleets whose requests were refused in this minute, by token key. Further requests with these
   * tokens are refused without looking up the holder.
   */
  private readonly refused = new Map<string, string>();
  private hasComplained = false;

  constructor(
    private readonly store: RateStore,
    readonly limit: number,
    private readonly now: () => number = () => Date.now(),
  ) {
    this.part = Math.max(1, Math.floor(limit / PARTS_TOLD));
  }

  /**
   * Counts a request of a fleet.
   *
   * @param key of the token that the request came with
   * @throws Problem 429 when the fleet has used up its limit
   */
  take(fleetId: string, key: string, reply: FastifyReply): void {
    this.turnMinute();
    const count = this.counts.get(fleetId) ?? { made: 0, untold: 0 };
    this.counts.set(fleetId, count);
    if (count.made >= this.limit) {
      this.refused.set(key, fleetId);
      this.refuse(reply);
    }
    count.made++;
    count.untold++;
    if (count.untold >= this.part) void this.tell(fleetId, count);
  }

  /**
   * @throws Problem 429 when the token belongs to a fleet that is known to have used up its limit
   */
  assertRoomFor(key: string, reply: FastifyReply): void {
    this.turnMinute();
    if (this.refused.has(key)) this.refuse(reply);
  }

  private turnMinute(): void {
    const minute = Math.floor(this.now() / WINDOW_MS);
    if (minute === this.minute) return;
    this.minute = minute;
    this.counts.clear();
    this.refused.clear();
    this.hasComplained = false;
  }

  private async tell(fleetId: string, count: Count): Promise<void> {
    const more = count.untold;
    count.untold = 0;
    try {
      const told = await this.store.count(`fleet:${fleetId}:${this.minute}`, more);
      count.made = told.count + count.untold;
    } catch (error) {
      if (this.hasComplained) return;
      this.hasComplained = true;
      this.logger.warn(
        `requests of fleets cannot be counted across processes; each process allows ${this.limit} a minute by itself: ${String(error)}`,
      );
    }
  }

  private refuse(reply: FastifyReply): never {
    const seconds = Math.max(1, Math.ceil(((this.minute + 1) * WINDOW_MS - this.now()) / 1000));
    void reply
      .header('ratelimit-policy', `"fleet";q=${this.limit};w=${WINDOW_SECONDS}`)
      .header('ratelimit', `"fleet";r=0;t=${seconds}`);
    throw new Problem(
      429,
      'too-many-fleet-requests',
      message('too-many-fleet-requests', { limit: this.limit, seconds }),
      [],
      { 'retry-after': String(seconds) },
    );
  }
}
