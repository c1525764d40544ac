import { AsyncLocalStorage } from 'node:async_hooks';
import type { UnitSystem } from '../../domain/quantities/measures.js';
import type { Role } from '../access/roles.js';

/** On whose behalf work is done. */
export interface FleetScope {
  fleetId: string;
  timeZone: string;
  units: UnitSystem;
  /** The token of the request; null in a background job. */
  tokenId: string | null;
  role: Role | null;
  /** Of the request's `Idempotency-Key`; null without one. */
  idempotency?: { key: string; operation: string; requestHash: Buffer } | null;
}

const storage = new AsyncLocalStorage<FleetScope>();

/**
 * Runs work on behalf of one fleet: every database connection taken inside sees that fleet's rows and no other.
 * Row-level security in the database enforces it; this only says which fleet is meant.
 */
export function inFleet<T>(scope: FleetScope, work: () => T): T {
  return storage.run(scope, work);
}

/** The fleet the current work is for, or null outside any fleet. */
export function currentFleetId(): string | null {
  return storage.getStore()?.fleetId ?? null;
}

/** The scope of the current work. @throws Error when there is none, which is a mistake in the code. */
export function fleetScope(): FleetScope {
  const scope = storage.getStore();
  if (!scope) throw new Error('this work needs a fleet, and is run outside any');
  return scope;
}
