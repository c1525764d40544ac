import { AsyncLocalStorage } from 'node:async_hooks';
import type { UnitSystem } from '../../domain/quantities/measures.js';
import type { Language } from '../words/languages.js';
import type { Reader } from '../words/render.js';
import type { Role } from './roles.js';

/** Who acts: the holder of a token, or a person who signed in here or at the provider. */
export interface Actor {
  kind: 'token' | 'person' | 'sign-in';
  /** The id of the token or the person, or the subject of the sign-in. */
  id: string;
  role: Role;
  requestId: string;
}

/** The response to a request. It closes early when the client leaves. */
export interface Caller {
  readonly destroyed: boolean;
  once(event: 'close', listener: () => void): unknown;
  off(event: 'close', listener: () => void): unknown;
}

/** The fleet that work is for, and what the work may see and do. */
export interface FleetScope {
  fleetId: string;
  timeZone: string;
  units: UnitSystem;
  /**
   * The language that the request asks for, else the token's, else the fleet's. A background job
   * uses the fleet's. English when left out.
   */
  language?: Language;
  /**
   * The token of the request, or the person who signed in with a link, whatever the device; null in
   * a background job and for a sign-in at the provider.
   */
  tokenId: string | null;
  role: Role | null;
  /** The session of the request, if it came with a cookie. */
  sessionId?: string | null;
  /** Whose token or session it is. Null or left out: nobody's in particular. */
  person?: { id: string; name: string } | null;
  /**
   * The depots that the token is bound to. Vehicles of other depots are out of reach. Null or left
   * out means the whole fleet.
   */
  depotIds?: readonly string[] | null;
  /** Whom the audit names. When left out, it names the service. */
  actor?: Actor;
  /** The fleet's change number when the request arrived; left out in a background job. */
  changeNumber?: number;
  /** Who waits for the answer; left out in a background job. */
  caller?: Caller;
  /** From the request's `Idempotency-Key`; null without one. */
  idempotency?: { key: string; operation: string; requestHash: Buffer } | null;
}

const storage = new AsyncLocalStorage<FleetScope>();

/**
 * Runs work on behalf of one fleet. Every database connection taken inside sees only that fleet's
 * rows. Row-level security in the database enforces this; the scope only names the fleet.
 */
export function inFleet<T>(scope: FleetScope, work: () => T): T {
  return storage.run(scope, work);
}

/**
 * The name of the person who signed in on the device that sent the request; null for a program, and
 * outside any fleet.
 */
export function signedInName(): string | null {
  const { sessionId = null, person = null } = storage.getStore() ?? {};
  return sessionId === null ? null : (person?.name ?? null);
}

/** The units of the person the current work is for; null when not known. */
export function currentUnits(): UnitSystem | null {
  return storage.getStore()?.units ?? null;
}

/**
 * The reader of messages made by the current work: the person who sent the request, with units kept
 * as typed. English outside any fleet.
 */
export function currentReader(): Reader {
  const scope = storage.getStore();
  return { language: scope?.language ?? 'en', units: scope === undefined ? null : { typedOr: scope.units } };
}

/** The fleet of the current work; null outside any fleet. */
export function currentFleetId(): string | null {
  return storage.getStore()?.fleetId ?? null;
}

/** What a connection may see: a fleet, or some of its depots. */
export interface Reach {
  fleetId: string;
  /** Null means the whole fleet. */
  depotIds: readonly string[] | null;
  /** The same for equal reaches, different for different ones. */
  key: string;
}

/** What the current work may see. Outside any fleet, that is nothing. */
export function currentReach(): Reach {
  const { fleetId = '', depotIds = null } = storage.getStore() ?? {};
  return { fleetId, depotIds, key: depotIds === null ? fleetId : `${fleetId} ${depotIds.join()}` };
}

/** The scope of the current work. @throws Error when there is none, which is a bug */
export function fleetScope(): FleetScope {
  const scope = storage.getStore();
  if (!scope) throw new Error('this work needs a fleet, and is run outside any');
  return scope;
}
