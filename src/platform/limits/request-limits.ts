import type { FastifyReply, FastifyRequest } from 'fastify';
import { LRUCache } from 'lru-cache';
import type { AccessSettings } from '../config/access-settings.js';
import type { Problem } from '../problems/problem.js';
import { addressKey, AddressLimits } from './address-limits.js';
import { Allowance, type Standing } from './allowance.js';
import { FleetAllowance } from './fleet-allowance.js';
import { type RateStore, WINDOW_SECONDS } from './rate-store.js';
import { tooMany } from './too-many.js';
import { message } from './messages.js';

/** How many admitted tokens to remember. */
const MAX_KNOWN = 10_000;

/**
 * Limits the requests of each token and of each fleet. Limits requests without a valid token by
 * address.
 */
export class RequestLimits {
  private readonly tokens: Allowance | null;
  private readonly fleets: FleetAllowance | null;
  private readonly addresses: AddressLimits;
  /** Refused sign-ins, by address. */
  private readonly signIns: Allowance | null;
  /**
   * Recently admitted tokens, each with the id that its requests are counted under. The database
   * still checks each token every time.
   */
  private readonly known = new LRUCache<string, string>({ max: MAX_KNOWN });

  constructor(store: RateStore, limits: AccessSettings & { fleetRequestsPerMinute: number }) {
    const { requestsPerMinute, fleetRequestsPerMinute } = limits;
    this.tokens = requestsPerMinute > 0 ? new Allowance(store, requestsPerMinute, 'token') : null;
    this.fleets = fleetRequestsPerMinute > 0 ? new FleetAllowance(store, fleetRequestsPerMinute) : null;
    const { refusalsPerMinute } = limits;
    this.signIns = refusalsPerMinute > 0 ? new Allowance(store, refusalsPerMinute, 'sign-in') : null;
    this.addresses = new AddressLimits(store, limits);
  }

  /**
   * Refuses a request that is known to be over a limit, without a database query.
   *
   * @param key of the token that was sent; null when it is missing or malformed
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
   * Counts a request with a valid token.
   *
   * @param counted the fleet, and the holder: the token's id, or the person who signed in
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

  /**
   * Refuses a sign-in from an address whose codes and tokens were refused too often.
   *
   * @throws Problem 429
   */
  assertMaySignIn({ ip }: FastifyRequest): void {
    const exhausted = this.signIns?.exhausted(addressKey(ip));
    if (!exhausted) return;
    throw tooMany(
      exhausted,
      'too-many-refusals',
      message('too-many-sign-ins', { limit: this.signIns?.limit ?? 0 }),
    );
  }

  async countRefusedSignIn({ ip }: FastifyRequest): Promise<void> {
    await this.signIns?.take(addressKey(ip));
  }

  /** Counts a request that was refused. */
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
