import type { FastifyRequest } from 'fastify';

/**
 * A path longer than this is cut in the log: it is of no use there, and each line is searched for
 * secrets.
 */
const LOGGED_PATH = 500;

/**
 * The scheme and host that a request target may begin with (RFC 9112, section 3.2.2), a login among
 * them.
 */
const ORIGIN = /^https?:\/\/[^/?#]*/i;
const QUERY = /[?#]/;

/**
 * The path as the client wrote it, without its query, which may hold a token. Nothing may be
 * decided on it: it has many spellings.
 */
export function pathOf(request: FastifyRequest): string {
  return request.url.replace(ORIGIN, '').split(QUERY, 1)[0] || '/';
}

/** The path for a log line. */
export function loggedPathOf(request: FastifyRequest): string {
  const path = pathOf(request);
  return path.length > LOGGED_PATH ? `${path.slice(0, LOGGED_PATH)}…` : path;
}

/** The query as the client wrote it, without the question mark; empty where there is none. */
export function queryOf(request: FastifyRequest): string {
  const start = request.url.search(QUERY);
  return start < 0 ? '' : request.url.slice(start + 1);
}

/** The path that the router matched, its values filled in: the same for each spelling of a path. */
export function matchedPathOf(request: FastifyRequest): string {
  const values = request.params as Record<string, string>;
  const pattern = request.routeOptions.url ?? '';
  return pattern.replaceAll(/:(\w+)/g, (_, name: string) => encodeURIComponent(values[name] ?? ''));
}
