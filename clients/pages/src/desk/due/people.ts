import { useLoaded } from '../../kit/service/loaded.js';
import { useMe } from '../../kit/service/me.js';

const MOST = '200';

/** The people of the fleet, for managers; nobody else may read them. */
export function usePeople(isWanted = true) {
  const me = useMe();
  const isAsked = isWanted && me.state.value.value?.role === 'manager';
  const { state } = useLoaded(
    async (client, signal) =>
      isAsked ? (await client.get('/v1/people', { query: { limit: MOST }, signal })).data.items : [],
    [isAsked],
  );
  return state.value.value ?? [];
}
