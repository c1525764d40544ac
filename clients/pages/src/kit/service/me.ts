import type { components } from '../../../../typescript/src/client.js';
import { useLoaded } from './loaded.js';

export type Me = components['schemas']['MeView'];

/** Who is signed in, and by which clocks and units the fleet reckons. */
export const useMe = () =>
  useLoaded(async (client, signal) => (await client.get('/v1/me', { signal })).data, []);
