import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { hash } from 'node:crypto';
import { civilDateAt } from '../../domain/calendar/zone.js';
import type { Clock } from '../clock/clock.js';
import { type FleetScope, fleetScope } from '../scope/fleet-scope.js';
import { matchedPathOf, queryOf } from '../routing/request-path.js';

/** What a route may say of itself in its config: that its answer depends on nothing but the fleet, the day and the request. */
export const KEPT = { kept: true } as const;

/** The same, but for managers, whose answer shows more: the route tags it by `hasItAlready`. */
export const KEPT_BUT_FOR_MANAGERS = { kept: true, keptNotFor: 'manager' } as const;

interface KeptConfig {
  kept?: boolean;
  keptNotFor?: string;
}

/** So many are remembered of answers that were not kept. */
const MOST_ASKED_ONCE = 5000;

interface KeptAnswer {
  tag: string;
  body: Buffer;
  link: string | undefined;
}

/**
 * Answers that hold for as long as a fleet does not change, by all that they depend on, so that none is ever out of date: one that no
 * longer holds is asked for no more, and makes room for others in time.
 */
export class KeptAnswers {
  private readonly answers = new Map<string, KeptAnswer>();
  /** By their tags, which are shorter than what they stand for. */
  private readonly askedOnce = new Set<string>();
  private bytes = 0;

  constructor(private readonly mostBytes: number) {}

  get(key: string): KeptAnswer | undefined {
    const answer = this.answers.get(key);
    if (!answer) return undefined;
    // A map keeps the order of insertion: what is used moves to the end, what is not is dropped first.
    this.answers.delete(key);
    this.answers.set(key, answer);
    return answer;
  }

  /** Whether an answer is worth keeping: not before it is asked for again, for most pages never are. */
  isAskedAgain(tag: string): boolean {
    if (this.askedOnce.delete(tag)) return true;
    this.askedOnce.add(tag);
    for (const oldest of this.askedOnce) {
      if (this.askedOnce.size <= MOST_ASKED_ONCE) break;
      this.askedOnce.delete(oldest);
    }
    return false;
  }

  keep(key: string, answer: KeptAnswer): void {
    if (answer.body.byteLength > this.mostBytes / 8) return;
    this.drop(key);
    this.answers.set(key, answer);
    this.bytes += answer.body.byteLength;
    for (const oldest of this.answers.keys()) {
      if (this.bytes <= this.mostBytes) break;
      this.drop(oldest);
    }
  }

  private drop(key: string): void {
    this.bytes -= this.answers.get(key)?.body.byteLength ?? 0;
    this.answers.delete(key);
  }
}

/** Of requests whose answer might be kept. */
const keys = new WeakMap<FastifyRequest, string>();

/** All that the answer to a request depends on: it changes with any change of the fleet, and at the fleet's midnight, when states change by themselves. */
function keyOf(scope: FleetScope, request: FastifyRequest, clock: Clock): string | null {
  const { fleetId, changeNumber, timeZone, units, role, depotIds = null } = scope;
  if (changeNumber === undefined) return null;
  const today = civilDateAt(clock.now().getTime(), timeZone);
  const depots = depotIds?.join() ?? 'all';
  return `${fleetId} ${changeNumber} ${today} ${units} ${role} ${depots} ${matchedPathOf(request)}?${queryOf(request)}`;
}

/** The tag of an answer, which is weak: it stands for the same content, not for the same bytes. */
function tagOf(key: string): string {
  return `W/"${hash('sha256', key, 'base64url').slice(0, 22)}"`;
}

function isKnown(request: FastifyRequest, tag: string): boolean {
  const known = request.headers['if-none-match'];
  return (
    known !== undefined && (known === '*' || known.split(',').some((candidate) => candidate.trim() === tag))
  );
}

function tagReply(reply: FastifyReply, tag: string): void {
  void reply.header('etag', tag).header('cache-control', 'private, no-cache').header('vary', varyBy(reply));
}

/** What the answer depends on besides its address; the origin, too, where pages of other origins may ask. */
function varyBy(reply: FastifyReply): string {
  const also = reply.getHeader('vary');
  return also === undefined ? 'Authorization' : `${String(also)}, Authorization`;
}

/**
 * Tags an answer that is not kept, and says whether the client has it already.
 *
 * @param also what else the answer depends on
 */
export function hasItAlready(request: FastifyRequest, reply: FastifyReply, clock: Clock, also = ''): boolean {
  const key = keyOf(fleetScope(), request, clock);
  if (key === null) return false;
  const tag = tagOf(key + also);
  tagReply(reply, tag);
  return isKnown(request, tag);
}

/**
 * Tags the answers of routes that are `KEPT`, spares a client the one it has, and gives others the one that was given before. The change
 * number was read with the token, after the request had come: an answer is never older than the request.
 *
 * @param scopeOf on whose behalf a request was let in; this must have been found out by a hook before this one
 */
export function registerKeptAnswers(
  fastify: FastifyInstance,
  scopeOf: (request: FastifyRequest) => FleetScope | undefined,
  clock: Clock,
  mostBytes: number,
): void {
  const kept = new KeptAnswers(mostBytes);
  // Before the body would be read, and the fleet entered: what is kept needs neither.
  fastify.addHook('onRequest', (request, reply, done) => {
    const config = request.routeOptions.config as KeptConfig;
    if (!config.kept) return done();
    const scope = scopeOf(request);
    if (scope !== undefined && scope.role === config.keptNotFor) return done();
    const key = scope === undefined ? null : keyOf(scope, request, clock);
    if (key === null) return done();
    const answer = kept.get(key);
    if (answer === undefined) {
      keys.set(request, key);
      return done();
    }
    tagReply(reply, answer.tag);
    // A client that has it has its link to the next page as well (RFC 9110, section 15.4.5).
    if (isKnown(request, answer.tag)) return void reply.status(304).send();
    if (answer.link !== undefined) void reply.header('link', answer.link);
    void reply.type('application/json; charset=utf-8').send(answer.body);
  });
  fastify.addHook('onSend', (request, reply, payload, done) => {
    const key = keys.get(request);
    if (key === undefined || reply.statusCode !== 200 || typeof payload !== 'string')
      return done(null, payload);
    const tag = tagOf(key);
    if (kept.isAskedAgain(tag)) {
      const link = reply.getHeader('link');
      kept.keep(key, { tag, body: Buffer.from(payload), link: typeof link === 'string' ? link : undefined });
    }
    tagReply(reply, tag);
    if (!isKnown(request, tag)) return done(null, payload);
    void reply.status(304).removeHeader('content-length').removeHeader('link');
    done(null, '');
  });
}
