import { Logger } from '@nestjs/common';
import { errors, jwtVerify, type JWTPayload } from 'jose';
import type { Clock } from '../clock/clock.js';
import type { OidcSettings } from '../config/access-settings.js';
import type { OidcClient } from '../config/access-settings.js';
import { UNSTORABLE } from '../input/json-body.js';
import { UUID_PATTERN } from '../fields/uuid.js';
import { Problem } from '../problems/problem.js';
import { PERSON_ROLES, type Role } from '../scope/roles.js';
import type { Message } from '../../domain/message.js';
import { message } from './messages.js';
import { type Endpoints, OidcProvider } from './oidc-provider.js';

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
  private readonly provider: OidcProvider;

  /**
   * @param cooldownMs minimum time between two fetches of the keys, when a token names an unknown
   *   key
   */
  constructor(
    private readonly settings: OidcSettings,
    private readonly clock: Clock,
    cooldownMs = 30_000,
  ) {
    this.provider = new OidcProvider(settings.issuer, cooldownMs);
  }

  /**
   * @throws Problem 401 when the token is not valid, 403 when it names no fleet or role here, 503
   *   when the provider cannot be reached
   */
  async verify(token: string): Promise<SignIn> {
    return this.signInOf(await this.payloadOf(token, this.settings.audience));
  }

  /**
   * Verifies what the provider says of somebody who signed in on a page (OpenID Connect Core,
   * 3.1.3.7): it must be meant for this service and for this attempt.
   *
   * @throws Problem as `verify` does
   */
  async verifyIdToken(token: string, client: OidcClient, nonce: string): Promise<SignIn & { name: string }> {
    const payload = await this.payloadOf(token, client.id);
    const isForOthers = payload.azp !== undefined && payload.azp !== client.id;
    if (payload.nonce !== nonce || isForOthers) throw refused(message('sign-in-not-valid'));
    const signIn = this.signInOf(payload);
    return { ...signIn, name: nameOf(payload) ?? signIn.subject };
  }

  /** Where the provider is asked to sign somebody in, and where its codes are redeemed. */
  async endpoints(): Promise<Endpoints> {
    try {
      const { endpoints } = await this.provider.found();
      if (endpoints === null)
        throw new Error('its configuration names no authorization_endpoint or token_endpoint');
      return endpoints;
    } catch (error) {
      throw this.away(error);
    }
  }

  /** @throws Problem 401 or 503 */
  private async payloadOf(token: string, audience: string): Promise<JWTPayload> {
    const { issuer } = this.settings;
    try {
      const { keys } = await this.provider.found();
      const { payload } = await jwtVerify(token, keys, {
        issuer,
        audience,
        algorithms: ALGORITHMS,
        requiredClaims: ['exp', 'sub'],
        clockTolerance: CLOCK_TOLERANCE_SECONDS,
        currentDate: this.clock.now(),
      });
      return payload;
    } catch (error) {
      if (REFUSALS.some((refusal) => error instanceof refusal)) {
        const isExpired = error instanceof errors.JWTExpired;
        throw refused(message(isExpired ? 'sign-in-expired' : 'sign-in-not-valid'));
      }
      throw this.away(error);
    }
  }

  /** Says that the provider cannot be asked; the log says why. */
  away(error: unknown): Problem {
    this.logger.warn(`${this.settings.issuer} cannot be asked: ${String(error)}`);
    return new Problem(503, 'sign-in-away', message('sign-in-provider-away'), [], { 'retry-after': '5' });
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

const LONGEST_NAME = 120;

/** What the provider calls the person; null when it says nothing that can be shown. */
function nameOf({ name, preferred_username, email }: JWTPayload): string | null {
  const given = [name, preferred_username, email].find(
    (one): one is string => typeof one === 'string' && one.trim() !== '' && !UNSTORABLE.test(one),
  );
  return given?.trim().slice(0, LONGEST_NAME).trim() ?? null;
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
