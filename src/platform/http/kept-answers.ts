import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { createHash } from 'node:crypto';
import { civilDateAt } from '../../domain/calendar/zone.js';
import type { Clock } from '../clock/clock.js';
import { fleetScope } from '../database/fleet-scope.js';

/** What a route may say of itself in its config: that its answer depends on nothing but the fleet, the day and the request. */
export const KEPT = { kept: true } as const;

/** So many tags are remembered of answers that were not kept. */
const MOST_ASKED_ONCE = 5000;

interface KeptAnswer {
  body: Buffer;
  link: string | undefined;
}

/**
 * Answers that hold for as long as a fleet does not change, by their tag. The tag names all that an answer depends on, so that none is
 * ever out of date: one that no longer holds is asked for no more, and makes room for others in time.
 */
export class KeptAnswers {
  private readonly answers = new Map<string, KeptAnswer>();
  private readonly askedOnce = new Set<string>();
  private bytes = 0;

  constructor(private readonly mostBytes: number) {}

  get(tag: string): KeptAnswer | undefined {
    const answer = this.answers.get(tag);
    if (!answer) return undefined;
    // A map keeps the order of insertion: what is used moves to the end, what is not is dropped first.
    this.answers.delete(tag);
    this.answers.set(tag, answer);
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

  keep(tag: string, answer: KeptAnswer): void {
    if (answer.body.byteLength > this.mostBytes / 8) return;
    this.drop(tag);
    this.answers.set(tag, answer);
    this.bytes += answer.body.byteLength;
    for (const oldest of this.answers.keys()) {
      if (this.bytes <= this.mostBytes) break;
      this.drop(oldest);
    }
  }

  private drop(tag: string): void {
    this.bytes -= this.answers.get(tag)?.body.byteLength ?? 0;
    this.answers.delete(tag);
  }
}

const tags = new WeakMap<FastifyRequest, string>();

/**
 * The tag of a request's answer, of everything it depends on. It changes with any change of the fleet, and at the fleet's midnight,
 * when states change by themselves. It is weak: it stands for the same content, not for the same bytes.
 */
function tagOf(request: FastifyRequest, clock: Clock): string | null {
  const { fleetId, changeNumber, timeZone, units, role, depotIds = null } = fleetScope();
  if (changeNumber === undefined) return null;
  const today = civilDateAt(clock.now().getTime(), timeZone);
  const parts = [fleetId, changeNumber, today, units, role, depotIds, request.url];
  return `W/"${createHash('sha256').update(JSON.stringify(parts)).digest('base64url').slice(0, 22)}"`;
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

/** Tags an answer that is not kept, and says whether the client has it already. */
export function hasItAlready(request: FastifyRequest, reply: FastifyReply, clock: Clock): boolean {
  const tag = tagOf(request, clock);
  if (tag === null) return false;
  tagReply(reply, tag);
  return isKnown(request, tag);
}

/**
 * Tags the answers of routes that are `KEPT`, spares a client the one it has, and gives others the one that was given before. The change
 * number was read with the token, after the request had come: an answer is never older than the request.
 */
export function registerKeptAnswers(fastify: FastifyInstance, clock: Clock, mostBytes: number): void {
  const kept = new KeptAnswers(mostBytes);
  fastify.addHook('preHandler', (request, reply, done) => {
    if (!(request.routeOptions.config as { kept?: boolean }).kept) return done();
    const tag = tagOf(request, clock);
    if (tag === null) return done();
    const answer = kept.get(tag);
    if (answer === undefined) {
      tags.set(request, tag);
      return done();
    }
    tagReply(reply, tag);
    if (answer.link !== undefined) void reply.header('link', answer.link);
    if (isKnown(request, tag)) void reply.status(304).send();
    else void reply.type('application/json; charset=utf-8').send(answer.body);
  });
  fastify.addHook('onSend', (request, reply, payload, done) => {
    const tag = tags.get(request);
    if (tag === undefined || reply.statusCode !== 200 || typeof payload !== 'string')
      return done(null, payload);
    if (kept.isAskedAgain(tag)) {
      const link = reply.getHeader('link');
      kept.keep(tag, { body: Buffer.from(payload), link: typeof link === 'string' ? link : undefined });
    }
    tagReply(reply, tag);
    if (!isKnown(request, tag)) return done(null, payload);
    void reply.status(304).removeHeader('content-length');
    done(null, '');
  });
}
