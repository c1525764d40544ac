import type { IncomingHttpHeaders } from 'node:http';

const MS_PER_MINUTE = 60_000;
/** The longest wait that a source can ask for. */
const MOST_ASKED_MS = 24 * 60 * MS_PER_MINUTE;
/** The longest wait between two tries of a source that fails. */
const MOST_BACK_OFF_MS = 4 * 60 * MS_PER_MINUTE;

const first = (value: string | string[] | undefined): string | undefined =>
  Array.isArray(value) ? value[0] : value;

/** Seconds, or an HTTP date (RFC 9110, 10.2.3). Null for neither. */
function secondsOrDateMs(text: string | undefined, now: Date): number | null {
  if (text === undefined) return null;
  if (/^\d{1,9}(\.\d+)?$/.test(text.trim())) return Number(text) * 1000;
  const at = Date.parse(text);
  return Number.isNaN(at) ? null : Math.max(0, at - now.getTime());
}

/** How long an answer asks to wait: `Retry-After`, else when its rate limit is reset. */
export function askedToWaitMs(headers: IncomingHttpHeaders, now: Date): number | null {
  const asked =
    secondsOrDateMs(first(headers['retry-after']), now) ??
    secondsOrDateMs(first(headers['x-rate-limit-reset'] ?? headers['ratelimit-reset']), now);
  return asked === null ? null : Math.min(asked, MOST_ASKED_MS);
}

/**
 * How long to wait before the next request, when this answer has used up the rate limit; 0 if it
 * has not. rFMS tells the limit in `X-Rate-Limit-Remaining` and `X-Rate-Limit-Reset`, in seconds
 * (from memory of rFMS 4, 3.3).
 */
export function usedUpMs(headers: IncomingHttpHeaders, now: Date): number {
  const remaining = first(headers['x-rate-limit-remaining'] ?? headers['ratelimit-remaining']);
  if (remaining === undefined || !/^\s*0+\s*$/.test(remaining)) return 0;
  return askedToWaitMs(headers, now) ?? MS_PER_MINUTE;
}

/**
 * How long to wait after a poll failed: a minute, then twice as long each time, up to four hours
 * (common practice, no source), and not less than the source asks for. Up to a quarter is added at
 * random, so that many sources of one server do not come back together.
 *
 * @param failures in a row, from 1
 * @param random from 0 up to 1
 * @example backOffMs(3, null, 0) // 240000
 */
export function backOffMs(failures: number, askedMs: number | null, random: number): number {
  const own = Math.min(MOST_BACK_OFF_MS, MS_PER_MINUTE * 2 ** Math.min(failures - 1, 20));
  return Math.round(Math.max(own, askedMs ?? 0) * (1 + random / 4));
}

/** When a source is polled next after a success; a twentieth earlier or later at random. */
export function nextPollMs(everyMinutes: number, random: number): number {
  return Math.round(everyMinutes * MS_PER_MINUTE * (0.95 + random / 10));
}
