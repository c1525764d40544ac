import type { FleetScope } from './fleet-scope.js';

const scopes = new WeakMap<object, FleetScope>();

/** Notes on whose behalf a request is, once it has been let in. */
export function setScope(request: object, scope: FleetScope): void {
  scopes.set(request, scope);
}

/**
 * Returns on whose behalf a request is; undefined until it has been let in. Unlike `fleetScope`,
 * it also answers in hooks that run outside the scope.
 */
export function scopeOf(request: object): FleetScope | undefined {
  return scopes.get(request);
}
