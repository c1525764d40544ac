import type { FastifyReply, FastifyRequest } from 'fastify';
import ipaddr from 'ipaddr.js';
import { Problem } from '../http/problem.js';
import { Allowance, type Standing } from './allowance.js';
import { FleetAllowance } from './fleet-allowance.js';
import { type RateStore, WINDOW_SECONDS } from './rate-store.js';

/** How many tokens are remembered as having let in. */
const MAX_KNOWN = 10_000;

/** An IPv6 address is one of very many that one host may use: they are counted by its network. */
export function addressKey(ip: string): string {
  if (!ipaddr.isValid(ip)) return ip;
  const address = ipaddr.process(ip);
  if (address.kind() === 'ipv4') return address.toString();
  const network = address.toByteArray().slice(0, 8);
  return `${ipaddr.fromByteArray([...network, 0, 0, 0, 0, 0, 0, 0, 0]).toString()}/64`;
}

function tooMany({ resetSeconds }: Standing, slug: string, detail: string): Problem {
  return new Problem(429, slug, detail, [], { 'retry-after': String(resetSeconds) });
}

/** Limits the requests of each token and of each fleet, and those without a valid token by the address they come from. */
export class RequestLimits {
  private readonly tokens: Allowance | null;
  private readonly fleets: FleetAllowance | null;
  private readonly addresses: Allowance | null;
  /** Tokens that have let in. Whether they still do, the database is asked each time. */
  private readonly known = new Set<string>();

  constructor(
    store: RateStore,
    limits: { requestsPerMinute: number; refusalsPerMinute: number; fleetRequestsPerMinute: number },
  ) {
    const { requestsPerMinute, refusalsPerMinute, fleetRequestsPerMinute } = limits;
    this.tokens = requestsPerMinute > 0 ? new Allowance(store, requestsPerMinute, 'token') : null;
    this.fleets = fleetRequestsPerMinute > 0 ? new FleetAllowance(store, fleetRequestsPerMinute) : null;
    this.addresses = refusalsPerMinute > 0 ? new Allowance(store, refusalsPerMinute, 'address') : null;
  }

  /**
   * Refuses without asking the database what is known to be too much.
   *
   * @param key of the token that was sent, if any; one that has let in is not held up by others at its address that send bad ones
   * @throws Problem 429
   */
  assertWelcome(key: string | null, request: FastifyRequest, reply: FastifyReply): void {
    if (key !== null && this.known.has(key)) {
      const exhausted = this.tokens?.exhausted(key);
      if (exhausted) this.refuse(exhausted, reply);
      this.fleets?.assertRoomFor(key, reply);
      return;
    }
    const exhausted = this.addresses?.exhausted(addressKey(request.ip));
    if (exhausted) {
      throw tooMany(
        exhausted,
        'too-many-refusals',
        `More than ${this.addresses?.limit} requests without a valid token came from this address within a minute.`,
      );
    }
  }

  /**
   * Counts a request that a token let in.
   *
   * @param counted what it is counted under: the token's key, or whoever signed in; and the fleet
   * @throws Problem 429
   */
  async countAdmitted(
    key: string,
    counted: { holder: string; fleetId: string },
    reply: FastifyReply,
  ): Promise<void> {
    if (this.known.size >= MAX_KNOWN) this.known.clear();
    this.known.add(key);
    const standing = await this.tokens?.take(counted.holder);
    if (standing && !standing.allowed) this.refuse(standing, reply);
    this.fleets?.take(counted.fleetId, key, reply);
    if (standing) this.tell(standing, reply);
  }

  /** Counts a request that was not let in. */
  async countRefused(key: string | null, request: FastifyRequest): Promise<void> {
    if (key !== null) this.known.delete(key);
    await this.addresses?.take(addressKey(request.ip));
  }

  private refuse(standing: Standing, reply: FastifyReply): never {
    this.tell(standing, reply);
    throw tooMany(
      standing,
      'too-many-requests',
      `This token may make ${this.tokens?.limit} requests a minute. Go on in ${standing.resetSeconds} s.`,
    );
  }

  /** The headers of the IETF draft "RateLimit header fields for HTTP". */
  private tell({ remaining, resetSeconds }: Standing, reply: FastifyReply): void {
    void reply
      .header('ratelimit-policy', `"token";q=${this.tokens?.limit};w=${WINDOW_SECONDS}`)
      .header('ratelimit', `"token";r=${remaining};t=${resetSeconds}`);
  }
}
