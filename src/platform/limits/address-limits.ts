import ipaddr from 'ipaddr.js';
import { LRUCache } from 'lru-cache';
import type { Problem } from '../problems/problem.js';
import { Allowance } from './allowance.js';
import { type RateStore, WINDOW_SECONDS } from './rate-store.js';
import { tooMany } from './too-many.js';
import { message } from './messages.js';

/** How many refused tokens to remember, over all addresses. Forgotten ones are looked up again. */
const MAX_REFUSED = 20_000;

/**
 * The key under which an address is counted. One host may use very many IPv6 addresses, so those
 * are counted by their /64 network.
 */
export function addressKey(ip: string): string {
  if (!ipaddr.isValid(ip)) return ip;
  const address = ipaddr.process(ip);
  if (address.kind() === 'ipv4') return address.toString();
  const network = address.toByteArray().slice(0, 8);
  return `${ipaddr.fromByteArray([...network, 0, 0, 0, 0, 0, 0, 0, 0]).toString()}/64`;
}

/**
 * Limits requests without a valid token by the address they come from. Many people may share an
 * address. A token that has not been seen yet is therefore looked up whatever others have sent from
 * there, unless far too many different tokens have come.
 */
export class AddressLimits {
  private readonly refusals: Allowance | null;
  private readonly unknownTokens: Allowance | null;
  /**
   * Tokens that were refused, each with the address that sent it. They are forgotten after a while,
   * because a fleet or a provider's key may be new.
   */
  private readonly refused = new LRUCache<string, true>({ max: MAX_REFUSED, ttl: WINDOW_SECONDS * 1000 });

  constructor(store: RateStore, limits: { refusalsPerMinute: number; unknownTokensPerMinute: number }) {
    const { refusalsPerMinute, unknownTokensPerMinute } = limits;
    this.refusals = refusalsPerMinute > 0 ? new Allowance(store, refusalsPerMinute, 'address') : null;
    this.unknownTokens =
      unknownTokensPerMinute > 0 ? new Allowance(store, unknownTokensPerMinute, 'unknown') : null;
  }

  /**
   * Refuses a request without a database query, in two cases. Its token is missing or known to be
   * invalid, and the address has used up its requests without a valid token. Or its token is
   * unknown, and the address has sent too many unknown tokens.
   *
   * @param key of a token that was not admitted recently; null when it is missing or malformed
   * @throws Problem 429
   */
  assertWelcome(key: string | null, ip: string): void {
    const address = addressKey(ip);
    const isHopeless = key === null || this.refused.has(`${address} ${key}`);
    const exhausted = isHopeless ? this.refusals?.exhausted(address) : this.unknownTokens?.exhausted(address);
    if (!exhausted) return;
    throw tooMany(
      exhausted,
      'too-many-refusals',
      isHopeless
        ? message('too-many-without-token', { limit: this.refusals?.limit ?? 0 })
        : message('too-many-unknown-tokens', { limit: this.unknownTokens?.limit ?? 0 }),
    );
  }

  /** Counts a request that was refused, and its token if that was not seen before. */
  async countRefused(key: string | null, ip: string, { status }: Problem): Promise<void> {
    const address = addressKey(ip);
    const isOfToken = key !== null && (status === 401 || status === 403);
    if (isOfToken && !this.refused.has(`${address} ${key}`)) {
      this.refused.set(`${address} ${key}`, true);
      await this.unknownTokens?.take(address);
    }
    await this.refusals?.take(address);
  }
}
