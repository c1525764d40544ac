import type { components } from '../../../../typescript/src/client.js';
import { useLoaded } from './loaded.js';

type Depot = components['schemas']['DepotView'];

const MOST_DEPOTS = 200;

/** The fleet's depots, by name; none until they are loaded. */
export function useDepots(): readonly Depot[] {
  const { state } = useLoaded(
    async (client, signal) =>
      (await client.get('/v1/depots', { query: { limit: String(MOST_DEPOTS) }, signal })).data.items,
    [],
  );
  return state.value.value ?? [];
}
