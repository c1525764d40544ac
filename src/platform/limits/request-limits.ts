import type { FastifyReply, FastifyRequest } from 'fastify';
import { LRUCache } from 'lru-cache';
import type { AccessSettings } from '../config/access-settings.js';
import type { Problem } from '../problems/problem.js';
import { AddressLimits } from './address-limits.js';
import { Allowance, type Standing } from './allowance.js';
import { FleetAllowance } from './fleet-allowance.js';
import { type RateStore, WINDOW_SECONDS } from './rate-store.js';
import { tooMany } from './too-many.js';
import { message } from './messages.js';

/** How many tokens are remembered as having let in. */
const MAX_KNOWN = 10_000;

/**
 * Limits the requests of each token and of each fleet, and those without a valid token by the
 * address they come from.
 */
export class RequestLimits {
  private readonly tokens: Allowance | null;
  private readonly fleets: FleetAllowance | null;
  private readonly addresses: AddressLimits;
  /**
   * Tokens that let in lately, with what their requests are counted under. Whether they still do,
   * the database is asked each time.
   */
  private readonly known = new LRUCache<string, string>({ max: MAX_KNOWN });

  constructor(store: RateStore, limits: AccessSettings & { fleetRequestsPerMinute: number }) {
    const { requestsPerMinute, fleetRequestsPerMinute } = limits;
    this.tokens = requestsPerMinute > 0 ? new Allowance(store, requestsPerMinute, 'token') : null;
    this.fleets = fleetRequestsPerMinute > 0 ? new FleetAllowance(store, fleetRequestsPerMinute) : null;
    this.addresses = new AddressLimits(store, limits);
  }

  /**
   * Refuses without asking the database what is known to be too much.
   *
   * @param key of the token that was sent; null when there is none or it is malformed
   * @throws Problem 429
   */
  assertWelcome(key: string | null, request: FastifyRequest, reply: FastifyReply): void {
    const counted = key === null ? undefined : this.known.get(key);
    if (key === null || counted === undefined) {
      this.addresses.assertWelcome(key, request.ip);
      return;
    }
    const exhausted = this.tokens?.exhausted(counted);
    if (exhausted) this.refuse(exhausted, reply);
    this.fleets?.assertRoomFor(key, reply);
  }

  /**
   * Counts a request that a token let in.
   *
   * @param counted what it is counted under: the token's id, or whoever signed in; and the fleet
   * @throws Problem 429
   */
  async countAdmitted(
    key: string,
    counted: { holder: string; fleetId: string },
    reply: FastifyReply,
  ): Promise<void> {
    this.known.set(key, counted.holder);
    const standing = await this.tokens?.take(counted.holder);
    if (standing && !standing.allowed) this.refuse(standing, reply);
    this.fleets?.take(counted.fleetId, key, reply);
    if (standing) this.tell(standing, reply);
  }

  /** Counts a request that was not let in. */
  async countRefused(key: string | null, request: FastifyRequest, why: Problem): Promise<void> {
    if (key !== null) this.known.delete(key);
    await this.addresses.countRefused(key, request.ip, why);
  }

  private refuse(standing: Standing, reply: FastifyReply): never {
    this.tell(standing, reply);
    throw tooMany(
      standing,
      'too-many-requests',
      message('too-many-token-requests', {
        limit: this.tokens?.limit ?? 0,
        seconds: standing.resetSeconds,
      }),
    );
  }

  /** The headers of the IETF draft "RateLimit header fields for HTTP". */
  private tell({ remaining, resetSeconds }: Standing, reply: FastifyReply): void {
    void reply
      .header('ratelimit-policy', `"token";q=${this.tokens?.limit};w=${WINDOW_SECONDS}`)
      .header('ratelimit', `"token";r=${remaining};t=${resetSeconds}`);
  }
}
