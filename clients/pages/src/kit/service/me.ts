import { signal } from '@preact/signals';
import type { components, WeepholeClient } from '../../../../typescript/src/client.js';
import { isUndecided, readIn, speak } from '../texts/tell.js';
import { useLoaded } from './loaded.js';
import { service } from './session.js';

export type Me = components['schemas']['MeView'];
export type Role = Me['role'];

/** Who is signed in, and by which clocks and units the fleet reckons. */
export const useMe = () =>
  useLoaded(async (client, until) => (await client.get('/v1/me', { signal: until })).data, []);

/** Who is signed in. Null until the service has said so. */
export const whoIs = signal<Me | null>(null);

/**
 * Finds out who is signed in. Where the browser asks for no language that there is, the service
 * answers in that of the token or the fleet, and the page turns to it.
 */
export async function meet(client: WeepholeClient, until: AbortSignal): Promise<Me> {
  const asked = isUndecided() ? service('*') : client;
  const { data } = await asked.get('/v1/me', { signal: until });
  if (isUndecided()) await speak(data.language);
  readIn(data.units);
  whoIs.value = data;
  return data;
}

/** Whether whoever is signed in has one of some roles. */
export const isOneOf = (roles: readonly Role[]): boolean =>
  whoIs.value !== null && roles.includes(whoIs.value.role);

/** Whether whoever is signed in decides for the fleet. */
export const mayManage = (): boolean => isOneOf(['manager']);

/** Whether whoever is signed in works on vehicles, and decides about what was found there. */
export const mayWork = (): boolean => isOneOf(['manager', 'mechanic']);
