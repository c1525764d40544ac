import { Logger } from '@nestjs/common';
import { type RateStore, WINDOW_SECONDS } from './rate-store.js';

/** How much of its limit a key has left in the current window. */
export interface Standing {
  allowed: boolean;
  remaining: number;
  resetSeconds: number;
}

interface Window {
  /** Reserved in the store by this process and not used yet. */
  reserved: number;
  /** What the store had left when it was last asked. */
  left: number;
  endsAt: number;
}

/** A process reserves the limit in this many parts, so that it rarely has to ask the store. */
const BLOCKS_A_WINDOW = 20;
const COMPLAIN_EVERY_MS = 10_000;
const MAX_KEYS = 10_000;

/**
 * Allows each key a number of requests per minute, over all processes. Each process reserves
 * requests in blocks. With several processes, the last requests of a minute may be refused although
 * another process has some of its block left.
 *
 * When the store is away, each process allows the whole limit by itself and logs a warning.
 */
export class Allowance {
  private readonly logger = new Logger('limits');
  private readonly windows = new Map<string, Window>();
  private readonly reserving = new Map<string, Promise<void>>();
  private readonly block: number;
  private complainedAt = -Infinity;

  constructor(
    private readonly store: RateStore,
    readonly limit: number,
    private readonly prefix: string,
    private readonly now: () => number = () => performance.now(),
  ) {
    this.block = Math.max(1, Math.floor(limit / BLOCKS_A_WINDOW));
  }

  /** Takes one request from the allowance of a key. */
  async take(key: string): Promise<Standing> {
    for (;;) {
      const window = this.current(key);
      if (window && window.reserved > 0) {
        window.reserved--;
        return this.standing(window, true);
      }
      if (window && window.left === 0) return this.standing(window, false);
      await this.reserve(key);
    }
  }

  /**
   * Returns the standing of a key that is known to have nothing left; null when it may have some.
   * Does not ask the store.
   */
  exhausted(key: string): Standing | null {
    const window = this.current(key);
    return window && window.reserved === 0 && window.left === 0 ? this.standing(window, false) : null;
  }

  private current(key: string): Window | undefined {
    const window = this.windows.get(key);
    return window && this.now() < window.endsAt ? window : undefined;
  }

  private standing({ reserved, left, endsAt }: Window, allowed: boolean): Standing {
    const resetSeconds = Math.max(1, Math.ceil((endsAt - this.now()) / 1000));
    return { allowed, remaining: reserved + left, resetSeconds };
  }

  /** Simultaneous requests wait for the same reservation. */
  private reserve(key: string): Promise<void> {
    const running = this.reserving.get(key);
    if (running) return running;
    const reserving = this.ask(key).finally(() => this.reserving.delete(key));
    this.reserving.set(key, reserving);
    return reserving;
  }

  private async ask(key: string): Promise<void> {
    if (this.windows.size >= MAX_KEYS) this.forgetEnded();
    try {
      const { count, endsInMs } = await this.store.count(`${this.prefix}:${key}`, this.block);
      const before = count - this.block;
      this.windows.set(key, {
        reserved: Math.min(this.block, Math.max(0, this.limit - before)),
        left: Math.max(0, this.limit - count),
        endsAt: this.now() + Math.max(1, endsInMs),
      });
    } catch (error) {
      this.complain(error);
      this.windows.set(key, {
        reserved: this.limit,
        left: 0,
        endsAt: this.now() + WINDOW_SECONDS * 1000,
      });
    }
  }

  private forgetEnded(): void {
    const now = this.now();
    for (const [key, { endsAt }] of this.windows) if (endsAt <= now) this.windows.delete(key);
    // If there are still too many, this is an attack from many addresses. Forget the oldest: the
    // store still has their counts.
    for (const key of this.windows.keys()) {
      if (this.windows.size < MAX_KEYS) break;
      this.windows.delete(key);
    }
  }

  private complain(error: unknown): void {
    if (this.now() - this.complainedAt < COMPLAIN_EVERY_MS) return;
    this.complainedAt = this.now();
    this.logger.warn(
      `requests cannot be counted across processes; each process allows ${this.limit} a minute by itself: ${String(error)}`,
    );
  }
}
