import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { LRUCache } from 'lru-cache';
import { hash } from 'node:crypto';
import { civilDateAt } from '../../domain/calendar/zone.js';
import { dependsOnPerson } from '../fields/assigned-to.js';
import type { Clock } from '../clock/clock.js';
import { type FleetScope, fleetScope } from '../scope/fleet-scope.js';
import { matchedPathOf, queryOf } from '../routing/request-path.js';

/** The config of a route whose response depends only on the fleet, the day and the request. */
export const CACHED = { isCached: true } as const;

/**
 * Like `CACHED`, but not for managers, who see more. For them, the route tags its response with
 * `isNotModified`.
 */
export const CACHED_BUT_FOR_MANAGERS = { isCached: true, notCachedFor: 'manager' } as const;

interface CacheConfig {
  isCached?: boolean;
  notCachedFor?: string;
}

interface CachedResponse {
  tag: string;
  body: Buffer;
  link: string | undefined;
}

/** How many tags to remember of responses that were requested only once. */
const MAX_SEEN_ONCE = 5000;

/**
 * Responses by everything they depend on. None is ever out of date: when a fleet changes, its
 * requests get another key. Responses that are no longer requested are evicted.
 */
class ResponseCache {
  private readonly responses: LRUCache<string, CachedResponse>;
  private readonly seenOnce = new LRUCache<string, true>({ max: MAX_SEEN_ONCE });

  constructor(maxBytes: number) {
    this.responses = new LRUCache({
      maxSize: maxBytes,
      maxEntrySize: Math.floor(maxBytes / 8),
      sizeCalculation: ({ body }, key) => body.byteLength + key.length,
    });
  }

  get(key: string): CachedResponse | undefined {
    return this.responses.get(key);
  }

  /**
   * Whether a response is worth caching. It is from the second request on, because most pages are
   * requested only once.
   */
  isAskedAgain(tag: string): boolean {
    if (this.seenOnce.delete(tag)) return true;
    this.seenOnce.set(tag, true);
    return false;
  }

  set(key: string, response: CachedResponse): void {
    this.responses.set(key, response);
  }
}

/** The cache keys of requests whose response may be cached. */
const keys = new WeakMap<FastifyRequest, string>();

/**
 * Everything that the response to a request depends on; null when it cannot be cached. The key
 * changes with every change of the fleet, and at the fleet's midnight, when states change by
 * themselves.
 */
function keyOf(scope: FleetScope, request: FastifyRequest, clock: Clock): string | null {
  const { fleetId, changeNumber, timeZone, units, language, role, depotIds = null, person } = scope;
  if (changeNumber === undefined) return null;
  const today = civilDateAt(clock.now().getTime(), timeZone);
  const depots = depotIds?.join() ?? 'all';
  const asker = dependsOnPerson(request) ? (person?.id ?? 'nobody') : 'anybody';
  return `${fleetId} ${changeNumber} ${today} ${units} ${language} ${role} ${depots} ${asker} ${matchedPathOf(request)}?${queryOf(request)}`;
}

/** A weak tag, because it promises the same content but not the same bytes. */
function tagOf(key: string): string {
  return `W/"${hash('sha256', key, 'base64url').slice(0, 22)}"`;
}

function clientHas(request: FastifyRequest, tag: string): boolean {
  const known = request.headers['if-none-match'];
  return (
    known !== undefined && (known === '*' || known.split(',').some((candidate) => candidate.trim() === tag))
  );
}

function tagReply(reply: FastifyReply, tag: string): void {
  void reply.header('etag', tag).header('cache-control', 'private, no-cache').header('vary', varyBy(reply));
}

/**
 * The request headers that the response depends on. CORS adds the origin, and another hook adds the
 * language.
 */
function varyBy(reply: FastifyReply): string {
  const also = reply.getHeader('vary');
  const own = 'Authorization';
  return also === undefined ? own : `${String(also)}, ${own}`;
}

/**
 * Tags a response that is not cached, and returns whether the client already has it.
 *
 * @param also what else the response depends on
 */
export function isNotModified(
  request: FastifyRequest,
  reply: FastifyReply,
  clock: Clock,
  also = '',
): boolean {
  const key = keyOf(fleetScope(), request, clock);
  if (key === null) return false;
  const tag = tagOf(key + also);
  tagReply(reply, tag);
  return clientHas(request, tag);
}

/**
 * Tags the responses of `CACHED` routes. Answers 304 to a client that already has the response, and
 * otherwise uses the cache. A response is never older than its request, because the change number
 * is read together with the token, after the request came in.
 *
 * @param scopeOf returns the scope of a request that an earlier hook admitted
 */
export function registerResponseCache(
  fastify: FastifyInstance,
  scopeOf: (request: FastifyRequest) => FleetScope | undefined,
  clock: Clock,
  maxBytes: number,
): void {
  const cache = new ResponseCache(maxBytes);
  // Runs before the body is read and the fleet's scope is entered: a cached response needs neither.
  fastify.addHook('onRequest', (request, reply, done) => {
    const config = request.routeOptions.config as CacheConfig;
    if (!config.isCached) return done();
    const scope = scopeOf(request);
    if (scope !== undefined && scope.role === config.notCachedFor) return done();
    const key = scope === undefined ? null : keyOf(scope, request, clock);
    if (key === null) return done();
    const response = cache.get(key);
    if (response === undefined) {
      keys.set(request, key);
      return done();
    }
    tagReply(reply, response.tag);
    // A client that has the response also has its link to the next page (RFC 9110, section 15.4.5).
    if (clientHas(request, response.tag)) return void reply.status(304).send();
    if (response.link !== undefined) void reply.header('link', response.link);
    void reply.type('application/json; charset=utf-8').send(response.body);
  });
  fastify.addHook('onSend', (request, reply, payload, done) => {
    const key = keys.get(request);
    if (key === undefined || reply.statusCode !== 200 || typeof payload !== 'string')
      return done(null, payload);
    const tag = tagOf(key);
    if (cache.isAskedAgain(tag)) {
      const link = reply.getHeader('link');
      cache.set(key, { tag, body: Buffer.from(payload), link: typeof link === 'string' ? link : undefined });
    }
    tagReply(reply, tag);
    if (!clientHas(request, tag)) return done(null, payload);
    void reply.status(304).removeHeader('content-length').removeHeader('link');
    done(null, '');
  });
}
