import { Logger } from '@nestjs/common';
import { createRemoteJWKSet, errors, jwtVerify, type JWTPayload, type JWTVerifyGetKey } from 'jose';
import type { Clock } from '../clock/clock.js';
import type { OidcSettings } from '../config/access-settings.js';
import { UNSTORABLE } from '../input/json-body.js';
import { UUID_PATTERN } from '../fields/uuid.js';
import { Problem } from '../problems/problem.js';
import { PERSON_ROLES, type Role } from '../scope/roles.js';
import type { Message } from '../../domain/message.js';
import { message } from './messages.js';

/** Who signed in at the provider, and what they may access. */
export interface SignIn {
  subject: string;
  fleetId: string;
  role: Role;
  depotIds: string[] | null;
}

/**
 * Signatures that only the provider can make. `none` and shared-secret (HMAC) algorithms are left
 * out: an attacker could use the provider's public key as the shared secret.
 */
const ALGORITHMS = [
  ...['RS256', 'RS384', 'RS512', 'PS256', 'PS384', 'PS512', 'ES256', 'ES384', 'ES512', 'EdDSA', 'Ed25519'],
];

/** A person with several roles gets the strongest. */
const ROLES_BY_STRENGTH: readonly Role[] = PERSON_ROLES;

const CLOCK_TOLERANCE_SECONDS = 30;
const PATIENCE_MS = 5_000;
/**
 * How long to wait after a failure before the provider is asked again. Requests are refused
 * meanwhile.
 */
const LEFT_ALONE_MS = 5_000;
const DISCOVERY_KEPT_MS = 3_600_000;

/** Errors that are the token's fault. All others mean that the provider is out of reach. */
const REFUSALS = [
  errors.JWTExpired,
  errors.JWTClaimValidationFailed,
  errors.JWTInvalid,
  errors.JWSInvalid,
  errors.JWSSignatureVerificationFailed,
  errors.JOSEAlgNotAllowed,
  errors.JOSENotSupported,
  errors.JWKSNoMatchingKey,
  errors.JWKSMultipleMatchingKeys,
];

const refused = (detail: Message): Problem =>
  new Problem(401, 'no-valid-token', detail, [], { 'www-authenticate': 'Bearer error="invalid_token"' });

const notAssigned = (detail: Message): Problem => new Problem(403, 'not-assigned', detail);

/** Verifies sign-ins against the keys that an OpenID Connect provider publishes. */
export class OidcVerifier {
  private readonly logger = new Logger('oidc');
  private discovery: { keys: Promise<JWTVerifyGetKey>; until: number } | null = null;

  /**
   * @param cooldownMs minimum time between two fetches of the keys, when a token names an unknown
   *   key
   */
  constructor(
    private readonly settings: OidcSettings,
    private readonly clock: Clock,
    private readonly cooldownMs = 30_000,
  ) {}

  /**
   * @throws Problem 401 when the token is not valid, 403 when it names no fleet or role here, 503
   *   when the provider cannot be reached
   */
  async verify(token: string): Promise<SignIn> {
    const { issuer, audience } = this.settings;
    try {
      const { payload } = await jwtVerify(token, await this.keys(), {
        issuer,
        audience,
        algorithms: ALGORITHMS,
        requiredClaims: ['exp', 'sub'],
        clockTolerance: CLOCK_TOLERANCE_SECONDS,
        currentDate: this.clock.now(),
      });
      return this.signInOf(payload);
    } catch (error) {
      if (error instanceof Problem) throw error;
      if (REFUSALS.some((refusal) => error instanceof refusal)) {
        const isExpired = error instanceof errors.JWTExpired;
        throw refused(message(isExpired ? 'sign-in-expired' : 'sign-in-not-valid'));
      }
      throw this.away(error);
    }
  }

  private away(error: unknown): Problem {
    this.logger.warn(`the keys of ${this.settings.issuer} cannot be fetched: ${String(error)}`);
    return new Problem(503, 'sign-in-away', message('sign-in-provider-away'), [], { 'retry-after': '5' });
  }

  private keys(): Promise<JWTVerifyGetKey> {
    const now = performance.now();
    if (this.discovery && now < this.discovery.until) return this.discovery.keys;
    const keys = this.discover();
    const discovery = { keys, until: now + DISCOVERY_KEPT_MS };
    this.discovery = discovery;
    keys.catch(() => (discovery.until = performance.now() + LEFT_ALONE_MS));
    return keys;
  }

  private async discover(): Promise<JWTVerifyGetKey> {
    const { issuer } = this.settings;
    const response = await fetch(`${issuer.replace(/\/$/, '')}/.well-known/openid-configuration`, {
      redirect: 'error',
      signal: AbortSignal.timeout(PATIENCE_MS),
    });
    if (!response.ok)
      throw new Error(`the request for its configuration was answered with ${response.status}`);
    const found = (await response.json()) as { issuer?: unknown; jwks_uri?: unknown };
    if (found.issuer !== issuer) throw new Error(`its configuration is that of ${String(found.issuer)}`);
    if (typeof found.jwks_uri !== 'string') throw new Error('its configuration names no jwks_uri');
    const keysAt = new URL(found.jwks_uri);
    // The keys must be fetched at least as safely as the configuration.
    if (keysAt.protocol !== 'https:' && keysAt.protocol !== new URL(issuer).protocol)
      throw new Error(`its keys are at ${keysAt.href}, which is not https`);
    return createRemoteJWKSet(keysAt, { timeoutDuration: PATIENCE_MS, cooldownDuration: this.cooldownMs });
  }

  private signInOf(payload: JWTPayload): SignIn {
    const { fleetClaim, roleClaim, depotsClaim, withoutDepots } = this.settings;
    const subject = subjectOf(payload);
    const fleetId = claimOf(payload, fleetClaim);
    if (typeof fleetId !== 'string' || !UUID_PATTERN.test(fleetId.toLowerCase()))
      throw notAssigned(message('sign-in-without-fleet', { claim: fleetClaim }));
    const given = [claimOf(payload, roleClaim)].flat();
    const role = ROLES_BY_STRENGTH.find((known) => given.includes(known));
    if (!role)
      throw notAssigned(message('sign-in-without-role', { claim: roleClaim, roles: ROLES_BY_STRENGTH }));
    const depotIds = depotsOf(claimOf(payload, depotsClaim));
    // When in doubt, refuse: a depots claim that cannot be read, or one for a manager, who cannot
    // be bound to depots, must not open the whole fleet.
    if (depotIds === undefined || (depotIds !== null && role === 'manager'))
      throw notAssigned(message('sign-in-depots-unreadable', { claim: depotsClaim }));
    if (depotIds === null && role !== 'manager' && withoutDepots === 'none')
      throw notAssigned(message('sign-in-without-depots', { claim: depotsClaim }));
    return { subject, fleetId: fleetId.toLowerCase(), role, depotIds };
  }
}

/** Returns the subject. The audit names people by it, and request limits count by it. */
function subjectOf({ sub }: JWTPayload): string {
  if (typeof sub === 'string' && sub.trim() !== '' && !UNSTORABLE.test(sub)) return sub;
  throw refused(message('sign-in-of-nobody'));
}

/** Returns a claim by its name. A name that begins with `/` is a JSON Pointer (RFC 6901). */
function claimOf(payload: JWTPayload, name: string): unknown {
  if (!name.startsWith('/')) return Object.hasOwn(payload, name) ? payload[name] : undefined;
  let value: unknown = payload;
  for (const part of name.slice(1).split('/')) {
    const key = part.replaceAll('~1', '/').replaceAll('~0', '~');
    if (typeof value !== 'object' || value === null || !Object.hasOwn(value, key)) return undefined;
    value = (value as Record<string, unknown>)[key];
  }
  return value;
}

/** Returns the depots; null for the whole fleet; undefined when the claim is no list of depots. */
function depotsOf(claim: unknown): string[] | null | undefined {
  if (claim === undefined || claim === null) return null;
  if (!Array.isArray(claim) || claim.length === 0 || claim.length > 100) return undefined;
  const ids = claim.map((id) => String(id).toLowerCase());
  return ids.every((id) => UUID_PATTERN.test(id)) ? ids : undefined;
}
