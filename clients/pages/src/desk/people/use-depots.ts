import { useLoaded } from '../../kit/service/loaded.js';
import type { Depot } from './person-form.js';

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
