import { NoAnswerError, ProblemError } from './faults.js';

export interface RetryPolicy {
  /** Maximum number of tries, including the first. */
  tries: number;
  /** The longest wait after the first failure. It doubles with each further failure. */
  firstWaitMs: number;
  /**
   * The longest wait of all. If the service asks for a longer one, there is no retry: the caller
   * gets the problem.
   */
  longestWaitMs: number;
}

export const USUAL_RETRIES: RetryPolicy = { tries: 5, firstWaitMs: 250, longestWaitMs: 30_000 };

/**
 * Temporary failures: too many requests, and the answers of the service or a proxy while the
 * service is away.
 */
const PASSING = new Set([429, 502, 503, 504]);

/**
 * Returns the wait that `Retry-After` asks for, in seconds or as a date; null without a readable
 * one.
 */
export function askedWaitMs(headers: Headers, nowMs: number): number | null {
  const text = headers.get('retry-after')?.trim() ?? '';
  if (/^\d+$/.test(text)) return Number(text) * 1000;
  const atMs = Date.parse(text);
  return Number.isNaN(atMs) ? null : Math.max(0, atMs - nowMs);
}

/**
 * Returns how long to wait before the next try; null when there should be none. Waits are random up
 * to a limit that doubles, so that many clients that were cut off together do not come back
 * together. A wait that `Retry-After` asks for is observed in full.
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
  // 409 with Retry-After: the earlier request, whose response was lost, is still in progress.
  if (!PASSING.has(fault.status) && !(fault.status === 409 && askedMs !== null)) return null;
  if (askedMs === null) return backOffMs;
  return askedMs > policy.longestWaitMs ? null : askedMs + draw * policy.firstWaitMs;
}

/** Waits, unless `signal` aborts; then rejects with the signal's reason. */
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
