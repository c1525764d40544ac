import { type CanActivate, type ExecutionContext, Injectable, SetMetadata } from '@nestjs/common';
import { Reflector } from '@nestjs/core';
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import type { DataSource } from 'typeorm';
import type { UnitSystem } from '../../domain/quantities/measures.js';
import type { Clock } from '../clock/clock.js';
import { type FleetScope, inFleet } from '../scope/fleet-scope.js';
import { scopeOf, setScope } from '../scope/request-scope.js';
import { languageAskedFor } from '../presenting/language-of-request.js';
import type { Language } from '../words/languages.js';
import { badQuery, Problem } from '../problems/problem.js';
import { sendProblem } from '../http/problem.filter.js';
import { matchedPathOf, pathOf } from '../routing/request-path.js';
import type { RequestLimits } from '../limits/request-limits.js';
import { type Bearer, bearerOf, isCalendarFeed, repeatsAuthorization, tokenInAddress } from './bearer.js';
import { contentHash } from './content-hash.js';
import type { OidcVerifier } from './oidc.js';
import { isPublic } from '../routing/public-routes.js';
import type { Role } from '../scope/roles.js';
import type { TokenHolders } from './token-holders.js';
import type { Message } from '../../domain/message.js';
import { message } from './messages.js';

const ROLES_KEY = 'weephole:roles';

/** Which roles may call a handler; without it every role that reads may. */
export const Roles = (...roles: Role[]): ReturnType<typeof SetMetadata> => SetMetadata(ROLES_KEY, roles);
/** A mechanic's or a manager's work. */
export const MechanicWork = (): ReturnType<typeof SetMetadata> => Roles('manager', 'mechanic');
/** A manager's work. */
export const ManagerWork = (): ReturnType<typeof SetMetadata> => Roles('manager');

const READERS: Role[] = ['manager', 'mechanic', 'dashboard'];

const unauthorised = (detail: Message): Problem =>
  new Problem(401, 'no-valid-token', detail, [], { 'www-authenticate': 'Bearer' });

function authorizationRepeated(): Problem {
  const detail = message('authorization-repeated');
  return new Problem(400, 'repeated-header', detail, [{ header: 'Authorization', detail }]);
}

/** Whom the API lets in, and how often. */
export interface Admission {
  dataSource: DataSource;
  holders: TokenHolders;
  clock: Clock;
  limits: RequestLimits;
  /** Null where nobody signs in elsewhere. */
  signIns: OidcVerifier | null;
}

/** What is wrong with a token is said without repeating it. */
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

function holderOf(bearer: Bearer | null, request: FastifyRequest, admission: Admission): Promise<FleetScope> {
  if (repeatsAuthorization(request)) throw authorizationRepeated();
  if (tokenInAddress(request) !== undefined) return calendarHolder(bearer, request, admission);
  if (!request.headers.authorization) throw unauthorised(message('authorization-missing'));
  if (bearer?.kind === 'token') return tokenHolder(bearer.hash, request.id, admission);
  if (bearer && admission.signIns) return signedIn(bearer.text, request.id, admission, admission.signIns);
  throw unauthorised(message('authorization-malformed'));
}

/**
 * Finds who holds a token. The fleet is not known yet, so a database function that sees all tokens
 * is asked.
 */
async function tokenHolder(
  tokenHash: Buffer,
  requestId: string,
  { holders, clock }: Admission,
): Promise<FleetScope> {
  const holder = await holders.find(tokenHash, clock.now());
  if (!holder) throw unauthorised(message('token-unknown'));
  if (holder.expires_at && holder.expires_at <= clock.now()) throw unauthorised(message('token-expired'));
  return {
    fleetId: holder.fleet_id,
    tokenId: holder.token_id,
    role: holder.role,
    depotIds: holder.depot_ids,
    actor: { kind: 'token', id: holder.token_id, role: holder.role, requestId },
    timeZone: holder.time_zone,
    units: holder.units,
    language: holder.language,
    changeNumber: holder.change_number,
  };
}

interface FleetRow {
  time_zone: string;
  units: UnitSystem;
  language: Language;
  change_number: number;
}

/** Finds who signed in elsewhere, and whether the fleet that the sign-in names is there. */
async function signedIn(
  jwt: string,
  requestId: string,
  { dataSource }: Admission,
  signIns: OidcVerifier,
): Promise<FleetScope> {
  const { subject, fleetId, role, depotIds } = await signIns.verify(jwt);
  const bare: FleetScope = { fleetId, tokenId: null, role, timeZone: 'UTC', units: 'si' };
  const [fleet] = await inFleet(bare, () =>
    dataSource.query<FleetRow[]>(
      'select time_zone, units, language, change_number_of(id)::float8 as change_number from fleets where id = $1',
      [fleetId],
    ),
  );
  if (!fleet) throw new Problem(403, 'not-assigned', message('sign-in-fleet-missing'));
  const actor = { kind: 'sign-in', id: subject, role, requestId } as const;
  const { time_zone: timeZone, units, language, change_number: changeNumber } = fleet;
  return { ...bare, depotIds, actor, timeZone, units, language, changeNumber };
}

/**
 * The language that a request asks for comes before that of the token or the fleet. Not so in the
 * calendar feed: a calendar program asks for its own language, which nobody chose.
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
  let scope: FleetScope;
  try {
    scope = inLanguageOf(request, await holderOf(bearer, request, admission));
  } catch (error) {
    if (error instanceof Problem && error.status < 500) await limits.countRefused(key, request, error);
    throw error;
  }
  // Each sign-in of one person brings another token.
  const holder = scope.tokenId === null ? `${scope.fleetId} ${scope.actor?.id}` : scope.tokenId;
  await limits.countAdmitted(String(key), { holder, fleetId: scope.fleetId }, reply);
  return scope;
}

/**
 * Behind a path that no route took there is nothing. One under `/v1` asks for a token all the same,
 * as its neighbours do.
 */
function isOpen(request: FastifyRequest): boolean {
  return request.is404 ? !pathOf(request).startsWith('/v1/') : isPublic(request);
}

/**
 * Finds the fleet of every request to a route that is not public, before its body is read, and
 * runs the rest of the request on that fleet's behalf.
 */
export function registerAccess(fastify: FastifyInstance, admission: Admission): void {
  fastify.addHook('onRequest', (request, reply, done) => {
    if (isOpen(request)) return done();
    // An address with a token in it is not handed on to where a link in the answer leads.
    if (isCalendarFeed(request)) void reply.header('referrer-policy', 'no-referrer');
    void enter().catch((error: unknown) => sendProblem(error, request, reply));

    async function enter(): Promise<void> {
      setScope(request, await admit(request, reply, admission));
      done();
    }
  });
  // After the body has been read: reading it would lose the context.
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
    // A token that is bound to depots is not answered with what another one was shown.
    requestHash: contentHash([request.body ?? null, request.query, ...(depotIds ?? [])]),
  };
}

/** @throws Problem 403 when a role is not among those that may */
function assertRole(role: Role | null | undefined, allowed: readonly Role[]): void {
  if (role && allowed.includes(role)) return;
  throw new Problem(403, 'wrong-role', message('role-not-allowed', { role: String(role), allowed }));
}

/**
 * For a body that is written to disk as it arrives, which is before a handler's own guard is asked.
 * @throws Problem 403
 */
export function assertManagersBody(request: FastifyRequest): void {
  assertRole(scopeOf(request)?.role, ['manager']);
}

/**
 * Lets a handler be called only by the roles it names, and by nobody where no fleet was found for
 * the request.
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
