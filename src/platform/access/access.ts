import { type CanActivate, type ExecutionContext, Injectable, SetMetadata } from '@nestjs/common';
import { Reflector } from '@nestjs/core';
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import type { DataSource } from 'typeorm';
import type { Clock } from '../clock/clock.js';
import { type FleetScope, inFleet } from '../scope/fleet-scope.js';
import { scopeOf, setScope } from '../scope/request-scope.js';
import { languageAskedFor } from '../presenting/language-of-request.js';
import { badQuery, Problem } from '../problems/problem.js';
import { sendProblem } from '../http/problem.filter.js';
import { matchedPathOf, pathOf } from '../routing/request-path.js';
import type { RequestLimits } from '../limits/request-limits.js';
import {
  type Bearer,
  bearerOf,
  isCalendarFeed,
  reliesOnSession,
  repeatsAuthorization,
  tokenInAddress,
} from './bearer.js';
import { contentHash } from './content-hash.js';
import { scopeOfSignIn } from './fleet-of-sign-in.js';
import type { OidcVerifier } from './oidc.js';
import { isPublic } from '../routing/public-routes.js';
import type { Role } from '../scope/roles.js';
import { scopeOfHolder } from './holder-scope.js';
import { assertFromOwnPage } from './own-page.js';
import { giveSession, repeatsSession } from './session-cookie.js';
import { registerSignInLimit } from './sign-in-limit.js';
import type { TokenHolders } from './token-holders.js';
import type { Message } from '../../domain/message.js';
import { message } from './messages.js';

const ROLES_KEY = 'weephole:roles';

/** Names the roles that may call a handler. Without it, every role that may read may call it. */
export const Roles = (...roles: Role[]): ReturnType<typeof SetMetadata> => SetMetadata(ROLES_KEY, roles);
/** Lets managers and mechanics call a handler. */
export const MechanicWork = (): ReturnType<typeof SetMetadata> => Roles('manager', 'mechanic');
/** Lets managers and telematics tokens call a handler. */
export const TelematicsWork = (): ReturnType<typeof SetMetadata> => Roles('manager', 'telematics');
/** Lets only managers call a handler. */
export const ManagerWork = (): ReturnType<typeof SetMetadata> => Roles('manager');

const READERS: Role[] = ['manager', 'mechanic', 'dashboard'];

/** Lets drivers call a handler, too, beside mechanics and managers. */
export const DriverWork = (): ReturnType<typeof SetMetadata> => Roles('manager', 'mechanic', 'driver');
/** Lets drivers read, too, beside everyone else who reads. */
export const DriverReading = (): ReturnType<typeof SetMetadata> => Roles(...READERS, 'driver');

const unauthorised = (detail: Message): Problem =>
  new Problem(401, 'no-valid-token', detail, [], { 'www-authenticate': 'Bearer' });

function repeatedHeader(header: string, detail: Message): Problem {
  return new Problem(400, 'repeated-header', detail, [{ header, detail }]);
}

/** What `registerAccess` needs to decide who may use the API, and how often. */
export interface Admission {
  dataSource: DataSource;
  holders: TokenHolders;
  clock: Clock;
  limits: RequestLimits;
  /** Null when sign-in through an OpenID Connect provider is not set up. */
  signIns: OidcVerifier | null;
}

/** Checks a token in a calendar address. No message repeats the token. */
async function calendarHolder(
  token: Bearer | null,
  request: FastifyRequest,
  admission: Admission,
): Promise<FleetScope> {
  if (request.headers.authorization) throw badQuery('token', message('token-in-address-and-header'));
  if (token === null) throw unauthorised(message('token-in-address-malformed'));
  const scope = await tokenHolder(token.hash, request.id, admission);
  if (scope.role === 'calendar') return scope;
  const role = String(scope.role);
  throw new Problem(403, 'wrong-role', message('token-not-for-addresses', { role }), [
    { parameter: 'token', detail: message('token-not-calendar') },
  ]);
}

function holderOf(
  bearer: Bearer | null,
  request: FastifyRequest,
  reply: FastifyReply,
  admission: Admission,
): Promise<FleetScope> {
  if (repeatsAuthorization(request)) throw repeatedHeader('Authorization', message('authorization-repeated'));
  if (tokenInAddress(request) !== undefined) return calendarHolder(bearer, request, admission);
  if (reliesOnSession(request)) return sessionHolder(bearer, request, reply, admission);
  if (!request.headers.authorization) throw unauthorised(message('authorization-missing'));
  if (bearer?.kind === 'token') return tokenHolder(bearer.hash, request.id, admission);
  if (bearer && admission.signIns) return signedIn(bearer.text, request.id, admission, admission.signIns);
  throw unauthorised(message('authorization-malformed'));
}

/** Finds who holds a token. */
async function tokenHolder(
  tokenHash: Buffer,
  requestId: string,
  { holders, clock }: Admission,
): Promise<FleetScope> {
  const holder = await holders.find(tokenHash, clock.now());
  if (!holder) throw unauthorised(message('token-unknown'));
  if (holder.expires_at && holder.expires_at <= clock.now()) throw unauthorised(message('token-expired'));
  return scopeOfHolder(holder, requestId);
}

/** Finds whose the session of a cookie is, and sends the cookie anew when the session was extended. */
async function sessionHolder(
  session: Bearer | null,
  request: FastifyRequest,
  reply: FastifyReply,
  { holders, clock }: Admission,
): Promise<FleetScope> {
  if (repeatsSession(request)) throw repeatedHeader('Cookie', message('session-repeated'));
  const holder = session === null ? null : await holders.find(session.hash, clock.now());
  if (!session || !holder || (holder.expires_at && holder.expires_at <= clock.now()))
    throw unauthorised(message('session-unknown'));
  if (holder.is_extended) giveSession(request, reply, session.text);
  return scopeOfHolder(holder, request.id);
}

/** Verifies a sign-in at the OpenID Connect provider, and that the fleet it names exists. */
async function signedIn(
  jwt: string,
  requestId: string,
  { dataSource }: Admission,
  signIns: OidcVerifier,
): Promise<FleetScope> {
  return scopeOfSignIn(dataSource, await signIns.verify(jwt), requestId);
}

/**
 * Chooses the language: the one the request asks for, else the one set for the token or the fleet.
 * The calendar feed ignores the request: a calendar program asks for its own language, which nobody
 * chose.
 */
function inLanguageOf(request: FastifyRequest, scope: FleetScope): FleetScope {
  if (isCalendarFeed(request)) return scope;
  const asked = languageAskedFor(request.headers['accept-language']);
  return asked === null ? scope : { ...scope, language: asked };
}

/** @throws Problem 401, 403, 429 or 503 */
async function admit(
  request: FastifyRequest,
  reply: FastifyReply,
  admission: Admission,
): Promise<FleetScope> {
  const { limits } = admission;
  const bearer = bearerOf(request, admission.signIns !== null);
  const key = bearer?.key ?? null;
  limits.assertWelcome(key, request, reply);
  // Not counted as refused: another site could use up what the session may do.
  if (reliesOnSession(request)) assertFromOwnPage(request);
  let scope: FleetScope;
  try {
    scope = inLanguageOf(request, await holderOf(bearer, request, reply, admission));
  } catch (error) {
    if (error instanceof Problem && error.status < 500) await limits.countRefused(key, request, error);
    throw error;
  }
  // Sign-ins are counted by person, because each sign-in of a person brings a new token.
  const holder = scope.tokenId === null ? `${scope.fleetId} ${scope.actor?.id}` : scope.tokenId;
  await limits.countAdmitted(String(key), { holder, fleetId: scope.fleetId }, reply);
  return scope;
}

/**
 * Whether a request needs no token. Unknown paths need none, except under `/v1`: there they ask for
 * a token as all routes do.
 */
function isOpen(request: FastifyRequest): boolean {
  return request.is404 ? !pathOf(request).startsWith('/v1/') : isPublic(request);
}

/**
 * Finds the fleet of every request to a route that is not public, before the body is read. The rest
 * of the request then runs on behalf of that fleet.
 */
export function registerAccess(fastify: FastifyInstance, admission: Admission): void {
  registerSignInLimit(fastify, admission.limits);
  fastify.addHook('onRequest', (request, reply, done) => {
    if (isOpen(request)) return done();
    // Keeps an address that contains a token from being sent to the targets of links.
    if (isCalendarFeed(request)) void reply.header('referrer-policy', 'no-referrer');
    void enter().catch((error: unknown) => sendProblem(error, request, reply));

    async function enter(): Promise<void> {
      setScope(request, await admit(request, reply, admission));
      done();
    }
  });
  // This must come after the body is read, because reading it would lose the async context.
  fastify.addHook('preHandler', (request, reply, done) => {
    const scope = scopeOf(request);
    if (!scope) return done();
    try {
      scope.idempotency = idempotencyOf(request, scope.depotIds ?? null);
      scope.caller = reply.raw;
    } catch (error) {
      sendProblem(error, request, reply);
      return;
    }
    inFleet(scope, done);
  });
}

function idempotencyOf(
  request: FastifyRequest,
  depotIds: readonly string[] | null,
): FleetScope['idempotency'] {
  const key = request.headers['idempotency-key'];
  if (request.method !== 'POST' || key === undefined) return null;
  if (typeof key !== 'string' || !/^[\x21-\x7e ]{1,255}$/.test(key)) {
    const detail = message('idempotency-key-malformed');
    throw new Problem(400, 'bad-idempotency-key', detail, [{ header: 'Idempotency-Key', detail }]);
  }
  return {
    key,
    operation: `POST ${matchedPathOf(request)}`,
    // The depots are part of the hash: a token bound to depots must not get an answer that was kept
    // for another token.
    requestHash: contentHash([request.body ?? null, request.query, ...(depotIds ?? [])]),
  };
}

/** @throws Problem 403 when the role is not allowed */
function assertRole(role: Role | null | undefined, allowed: readonly Role[]): void {
  if (role && allowed.includes(role)) return;
  throw new Problem(403, 'wrong-role', message('role-not-allowed', { role: String(role), allowed }));
}

/**
 * Refuses all but managers. For bodies that are written to disk as they arrive, which happens
 * before the handler's own guard runs.
 * @throws Problem 403
 */
export function assertManagersBody(request: FastifyRequest): void {
  assertRole(scopeOf(request)?.role, ['manager']);
}

/** Refuses roles other than these, before the body of a request is read. @throws Problem 403 */
export function assertBodyFrom(request: FastifyRequest, allowed: readonly Role[]): void {
  assertRole(scopeOf(request)?.role, allowed);
}

/**
 * Lets only the roles that a handler names call it. Refuses a request for which no fleet was found.
 */
@Injectable()
export class RoleGuard implements CanActivate {
  constructor(private readonly reflector: Reflector) {}

  canActivate(context: ExecutionContext): boolean {
    const request = context.switchToHttp().getRequest<FastifyRequest>();
    if (isPublic(request)) return true;
    const scope = scopeOf(request);
    if (!scope) throw unauthorised(message('request-without-token'));
    const allowed = this.reflector.getAllAndOverride<Role[] | undefined>(ROLES_KEY, [
      context.getHandler(),
      context.getClass(),
    ]);
    assertRole(scope.role, allowed ?? READERS);
    return true;
  }
}
