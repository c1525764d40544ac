import { createRemoteJWKSet, type JWTVerifyGetKey } from 'jose';
import { PATIENCE_MS } from './oidc-code.js';

/**
 * How long to wait after a failure before the provider is asked again. Requests are refused
 * meanwhile.
 */
const LEFT_ALONE_MS = 5_000;
const KEPT_MS = 3_600_000;

/** Where people sign in on a page of the provider's. */
export interface Endpoints {
  authorization: string;
  token: string;
}

export interface FoundProvider {
  keys: JWTVerifyGetKey;
  /** Null when the provider names none: it only issues tokens. */
  endpoints: Endpoints | null;
}

/** What an OpenID Connect provider publishes of itself (OpenID Connect Discovery 1.0). */
export class OidcProvider {
  private discovery: { found: Promise<FoundProvider>; until: number } | null = null;

  /**
   * @param cooldownMs minimum time between two fetches of the keys, when a token names an unknown
   *   key
   */
  constructor(
    private readonly issuer: string,
    private readonly cooldownMs: number,
  ) {}

  /** @throws Error when it cannot be fetched or used */
  found(): Promise<FoundProvider> {
    const now = performance.now();
    if (this.discovery && now < this.discovery.until) return this.discovery.found;
    const found = this.discover();
    const discovery = { found, until: now + KEPT_MS };
    this.discovery = discovery;
    found.catch(() => (discovery.until = performance.now() + LEFT_ALONE_MS));
    return found;
  }

  private async discover(): Promise<FoundProvider> {
    const { issuer } = this;
    const response = await fetch(`${issuer.replace(/\/$/, '')}/.well-known/openid-configuration`, {
      redirect: 'error',
      signal: AbortSignal.timeout(PATIENCE_MS),
    });
    if (!response.ok)
      throw new Error(`the request for its configuration was answered with ${response.status}`);
    const published = (await response.json()) as Record<string, unknown>;
    if (published.issuer !== issuer)
      throw new Error(`its configuration is that of ${String(published.issuer)}`);
    const keysAt = this.safeAddress(published, 'jwks_uri');
    if (keysAt === null) throw new Error('its configuration names no jwks_uri');
    const authorization = this.safeAddress(published, 'authorization_endpoint');
    const token = this.safeAddress(published, 'token_endpoint');
    return {
      keys: createRemoteJWKSet(keysAt, { timeoutDuration: PATIENCE_MS, cooldownDuration: this.cooldownMs }),
      endpoints: authorization && token && { authorization: authorization.href, token: token.href },
    };
  }

  /** An address that is reached at least as safely as the configuration; null when there is none. */
  private safeAddress(published: Record<string, unknown>, name: string): URL | null {
    const given = published[name];
    if (typeof given !== 'string') return null;
    const address = new URL(given);
    if (address.protocol !== 'https:' && address.protocol !== new URL(this.issuer).protocol)
      throw new Error(`its ${name} is ${address.href}, which is not https`);
    return address;
  }
}
