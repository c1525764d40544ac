import type { FastifyRequest } from 'fastify';

/**
 * Longer paths are cut in the log: the rest is of no use there, and every log line is searched for
 * secrets.
 */
const LOGGED_PATH = 500;

/**
 * The scheme and host that a request target may begin with (RFC 9112, section 3.2.2), possibly with
 * a login.
 */
const ORIGIN = /^https?:\/\/[^/?#]*/i;
const QUERY = /[?#]/;

/**
 * Returns the path as the client wrote it, without its query, which may contain a token. Never base
 * a decision on it: one path has many spellings.
 */
export function pathOf(request: FastifyRequest): string {
  return request.url.replace(ORIGIN, '').split(QUERY, 1)[0] || '/';
}

/** Returns the path for a log line. */
export function loggedPathOf(request: FastifyRequest): string {
  const path = pathOf(request);
  return path.length > LOGGED_PATH ? `${path.slice(0, LOGGED_PATH)}…` : path;
}

/**
 * Returns the query as the client wrote it, without the question mark; empty when there is none.
 */
export function queryOf(request: FastifyRequest): string {
  const start = request.url.search(QUERY);
  return start < 0 ? '' : request.url.slice(start + 1);
}

/**
 * Returns the matched route's path with its values filled in. Every spelling of a path gives the
 * same result.
 */
export function matchedPathOf(request: FastifyRequest): string {
  const values = request.params as Record<string, string>;
  const pattern = request.routeOptions.url ?? '';
  return pattern.replaceAll(/:(\w+)/g, (_, name: string) => encodeURIComponent(values[name] ?? ''));
}
