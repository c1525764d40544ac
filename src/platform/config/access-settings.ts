import { message } from './messages.js';
import { BlockList, isIP } from 'node:net';
import { publicUrl } from './public-url.js';
import { ConfigError, type Environment, list, wholeNumber } from './environment.js';

/**
 * Whose `X-Forwarded-For` is trusted: nobody's, that of this many proxies in a row, or that of
 * proxies at these addresses.
 */
export type TrustedProxies = false | { hops: number } | string[];

/**
 * Sign-in through an OpenID Connect provider, in addition to tokens; null when `OIDC_ISSUER` is
 * unset.
 */
export interface OidcSettings {
  issuer: string;
  audience: string;
  fleetClaim: string;
  roleClaim: string;
  depotsClaim: string;
  /**
   * What a sign-in without the depots claim may access: the whole fleet or nothing. A manager is
   * never bound to depots.
   */
  withoutDepots: 'all' | 'none';
  /** Null when people do not sign in at the provider from a page. */
  client: OidcClient | null;
}

/** As what the provider knows this service. */
export interface OidcClient {
  id: string;
  /** Null for a public client, which proves itself by PKCE alone (RFC 7636). */
  secret: string | null;
  /** Where the provider sends people back to: the page `/sign-in`. */
  redirectUri: string;
}

/** Who is let in, and how many requests they may make. */
export interface AccessSettings {
  trustedProxies: TrustedProxies;
  /** Web origins whose pages may call the API from a browser. */
  corsOrigins: string[];
  /** Requests per minute for one token, over all processes; 0 means no limit. */
  requestsPerMinute: number;
  /** Requests per minute without a valid token from one address; 0 means no limit. */
  refusalsPerMinute: number;
  /** Different invalid tokens per minute from one address that are looked up; 0 means no limit. */
  unknownTokensPerMinute: number;
  /** How long a request may take to arrive. */
  requestTimeoutMs: number;
  oidc: OidcSettings | null;
}

const NAMED_RANGES = ['loopback', 'linklocal', 'uniquelocal'];

function isRange(text: string): boolean {
  if (NAMED_RANGES.includes(text)) return true;
  const [address = '', prefix, ...rest] = text.split('/');
  const family = isIP(address);
  if (family === 0 || rest.length > 0) return false;
  if (prefix === undefined) return true;
  try {
    new BlockList().addSubnet(address, Number(prefix), family === 4 ? 'ipv4' : 'ipv6');
    return /^\d{1,3}$/.test(prefix);
  } catch {
    return false;
  }
}

function trustedProxies(env: Environment): TrustedProxies {
  const text = env.TRUST_PROXY ?? '';
  if (text === '' || text === 'false' || text === '0') return false;
  // Trusting every address in the header would let a client choose its own.
  if (text === 'true') return { hops: 1 };
  if (/^[1-9]\d?$/.test(text)) return { hops: Number(text) };
  const ranges = list(text);
  if (ranges.length > 0 && ranges.every(isRange)) return ranges;
  throw new ConfigError(message('setting-trust-proxy', { given: text }));
}

function corsOrigins(env: Environment): string[] {
  const origins = list(env.CORS_ORIGINS ?? '');
  for (const origin of origins) {
    if (origin === '*') continue;
    if (!URL.canParse(origin) || new URL(origin).origin !== origin)
      throw new ConfigError(message('setting-cors-origins', { given: origin }));
  }
  return origins;
}

function withoutDepots(env: Environment): 'all' | 'none' {
  const text = env.OIDC_WITHOUT_DEPOTS || 'all';
  if (text === 'all' || text === 'none') return text;
  throw new ConfigError(message('setting-oidc-without-depots', { given: text }));
}

function oidcClient(env: Environment): OidcClient | null {
  const id = env.OIDC_CLIENT_ID ?? '';
  if (id === '') return null;
  const base = publicUrl(env.PUBLIC_URL ?? '');
  if (base === null) throw new ConfigError(message('setting-oidc-public-url'));
  return { id, secret: env.OIDC_CLIENT_SECRET || null, redirectUri: `${base}/sign-in` };
}

function oidcSettings(env: Environment): OidcSettings | null {
  const issuer = env.OIDC_ISSUER ?? '';
  const unbound = withoutDepots(env);
  if (issuer === '') return null;
  const url = URL.canParse(issuer) ? new URL(issuer) : null;
  const isLocal = url !== null && ['127.0.0.1', '[::1]', 'localhost'].includes(url.hostname);
  if (url?.protocol !== 'https:' && !(url?.protocol === 'http:' && isLocal))
    throw new ConfigError(message('setting-oidc-issuer', { given: issuer }));
  if (!env.OIDC_AUDIENCE) throw new ConfigError(message('setting-oidc-audience'));
  return {
    issuer,
    audience: env.OIDC_AUDIENCE,
    fleetClaim: env.OIDC_FLEET_CLAIM || 'weephole_fleet',
    roleClaim: env.OIDC_ROLE_CLAIM || 'weephole_role',
    depotsClaim: env.OIDC_DEPOTS_CLAIM || 'weephole_depots',
    withoutDepots: unbound,
    client: oidcClient(env),
  };
}

/** @throws ConfigError when a setting cannot be used */
export function readAccessSettings(env: Environment): AccessSettings {
  return {
    trustedProxies: trustedProxies(env),
    corsOrigins: corsOrigins(env),
    requestsPerMinute: wholeNumber(env, 'REQUESTS_PER_MINUTE', 1200, 0, 1_000_000),
    refusalsPerMinute: wholeNumber(env, 'REFUSALS_PER_MINUTE', 60, 0, 1_000_000),
    unknownTokensPerMinute: wholeNumber(env, 'UNKNOWN_TOKENS_PER_MINUTE', 6000, 0, 1_000_000),
    requestTimeoutMs: wholeNumber(env, 'REQUEST_TIMEOUT_SECONDS', 300, 1, 3600) * 1000,
    oidc: oidcSettings(env),
  };
}
