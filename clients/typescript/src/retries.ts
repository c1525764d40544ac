import { NoAnswerError, ProblemError } from './faults.js';

export interface RetryPolicy {
  /** How often a request is made at most, the first time included. */
  tries: number;
  /** The longest wait after the first failure; it doubles with each further one. */
  firstWaitMs: number;
  /**
   * No wait is longer. A service that asks for a longer one is not asked again: the caller gets its
   * problem.
   */
  longestWaitMs: number;
}

export const USUAL_RETRIES: RetryPolicy = { tries: 5, firstWaitMs: 250, longestWaitMs: 30_000 };

/** Too many requests, and what the service or a proxy says while the service is away. */
const PASSING = new Set([429, 502, 503, 504]);

/**
 * The wait that `Retry-After` asks for, as seconds or as a date; null without one that can be read.
 */
export function askedWaitMs(headers: Headers, nowMs: number): number | null {
  const text = headers.get('retry-after')?.trim() ?? '';
  if (/^\d+$/.test(text)) return Number(text) * 1000;
  const atMs = Date.parse(text);
  return Number.isNaN(atMs) ? null : Math.max(0, atMs - nowMs);
}

/**
 * How long to wait before the next try; null when there shall be none. Waits are drawn at random up
 * to a bound that doubles, so that many clients that were cut off together do not come back
 * together; what `Retry-After` asks for is waited for in full.
 *
 * @param failures how many tries have failed, 1 or more
 * @param draw a number from 0 to 1
 */
export function waitMs(
  fault: unknown,
  failures: number,
  policy: RetryPolicy,
  { nowMs, draw }: { nowMs: number; draw: number },
): number | null {
  if (failures >= policy.tries) return null;
  const backOffMs = draw * Math.min(policy.longestWaitMs, policy.firstWaitMs * 2 ** (failures - 1));
  if (fault instanceof NoAnswerError) return backOffMs;
  if (!(fault instanceof ProblemError)) return null;
  const askedMs = askedWaitMs(fault.headers, nowMs);
  // A 409 with Retry-After: the request whose answer was lost is still being worked on.
  if (!PASSING.has(fault.status) && !(fault.status === 409 && askedMs !== null)) return null;
  if (askedMs === null) return backOffMs;
  return askedMs > policy.longestWaitMs ? null : askedMs + draw * policy.firstWaitMs;
}

/** Waits, unless `signal` ends it: then with the signal's reason. */
export function pause(ms: number, signal: AbortSignal | undefined): Promise<void> {
  return new Promise((resolve, reject) => {
    const stop = (): void => {
      clearTimeout(timer);
      reject(signal?.reason as Error);
    };
    const timer = setTimeout(() => {
      signal?.removeEventListener('abort', stop);
      resolve();
    }, ms);
    if (signal?.aborted) stop();
    else signal?.addEventListener('abort', stop, { once: true });
  });
}
