import { AsyncLocalStorage } from 'node:async_hooks';
import type { UnitSystem } from '../../domain/quantities/measures.js';
import type { Language } from '../words/languages.js';
import type { Reader } from '../words/render.js';
import type { Role } from './roles.js';

/** Who does something: the holder of a token, or of a sign-in from elsewhere. */
export interface Actor {
  kind: 'token' | 'sign-in';
  /** The token's id, or the subject of the sign-in. */
  id: string;
  role: Role;
  requestId: string;
}

/** The response to a request: it is closed early when the caller leaves. */
export interface Caller {
  readonly destroyed: boolean;
  once(event: 'close', listener: () => void): unknown;
  off(event: 'close', listener: () => void): unknown;
}

/** On whose behalf work is done. */
export interface FleetScope {
  fleetId: string;
  timeZone: string;
  units: UnitSystem;
  /**
   * The language that the request asks for, else the token's, else the fleet's; in a background job
   * the fleet's. Left out: English.
   */
  language?: Language;
  /** The token of the request; null in a background job, and for who signed in elsewhere. */
  tokenId: string | null;
  role: Role | null;
  /**
   * The depots that the token is bound to: no vehicle of another is seen or touched. Null or left
   * out: the whole fleet.
   */
  depotIds?: readonly string[] | null;
  /** Who the audit names; the service itself where it is left out. */
  actor?: Actor;
  /**
   * The fleet's change number as it was when the request had come; left out in a background job.
   */
  changeNumber?: number;
  /** Who waits for the answer; left out in a background job. */
  caller?: Caller;
  /** Of the request's `Idempotency-Key`; null without one. */
  idempotency?: { key: string; operation: string; requestHash: Buffer } | null;
}

const storage = new AsyncLocalStorage<FleetScope>();

/**
 * Runs work on behalf of one fleet: every database connection taken inside sees that fleet's rows
 * and no other. Row-level security in the database enforces it; this only says which fleet is
 * meant.
 */
export function inFleet<T>(scope: FleetScope, work: () => T): T {
  return storage.run(scope, work);
}

/** The units of whoever the current work is for; null where they are not known. */
export function currentUnits(): UnitSystem | null {
  return storage.getStore()?.units ?? null;
}

/**
 * For whom the current work is put into words: whoever made the request, in the units that were
 * typed. English where nobody is known.
 */
export function currentReader(): Reader {
  const scope = storage.getStore();
  return { language: scope?.language ?? 'en', units: scope === undefined ? null : { typedOr: scope.units } };
}

/** The fleet the current work is for, or null outside any fleet. */
export function currentFleetId(): string | null {
  return storage.getStore()?.fleetId ?? null;
}

/** What a connection is set to: the fleet, and the depots where a token is bound to some. */
export interface Reach {
  fleetId: string;
  /** Null: the whole fleet. */
  depotIds: readonly string[] | null;
  /** Tells two of them apart. */
  key: string;
}

/** What the current work may see; outside any fleet, nothing. */
export function currentReach(): Reach {
  const { fleetId = '', depotIds = null } = storage.getStore() ?? {};
  return { fleetId, depotIds, key: depotIds === null ? fleetId : `${fleetId} ${depotIds.join()}` };
}

/**
 * The scope of the current work. @throws Error when there is none, which is a mistake in the code.
 */
export function fleetScope(): FleetScope {
  const scope = storage.getStore();
  if (!scope) throw new Error('this work needs a fleet, and is run outside any');
  return scope;
}
