import type { FastifyRequest } from 'fastify';
import { Problem } from '../problems/problem.js';
import { message } from './messages.js';

/**
 * A page of another site can make a browser send our cookie, but not this header: it would have to
 * ask first, and is refused.
 */
const HEADER = 'weephole-page';

const READING = new Set(['GET', 'HEAD']);
const OWN_SITES = new Set(['same-origin', 'none']);

/**
 * Makes sure that a request comes from a page of this service, and not from another site that uses
 * the cookie of whoever looks at it.
 *
 * @throws Problem 403
 */
export function assertFromOwnPage(request: FastifyRequest): void {
  if (READING.has(request.method)) return;
  const site = request.headers['sec-fetch-site'];
  if (site !== undefined && !OWN_SITES.has(site)) {
    const detail = message('page-of-other-site', { site: site.slice(0, 40) });
    throw new Problem(403, 'not-from-own-page', detail, [{ header: 'Sec-Fetch-Site', detail }]);
  }
  if (request.headers[HEADER] === '1') return;
  const detail = message('page-header-missing');
  throw new Problem(403, 'not-from-own-page', detail, [{ header: 'Weephole-Page', detail }]);
}
