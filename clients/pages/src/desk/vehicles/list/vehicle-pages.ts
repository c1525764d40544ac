import type { Signal } from '@preact/signals';
import { useRef } from 'preact/hooks';
import type { WeepholeClient } from '../../../../../typescript/src/client.js';
import { type Loaded, useLoaded } from '../../../kit/service/loaded.js';
import { service } from '../../../kit/service/session.js';
import type { Vehicle } from '../types.js';
import { type Filters, queryOf } from './filters.js';

const PAGE = 100;

export interface VehiclesShown {
  items: readonly Vehicle[];
  /** Cursor of what follows; null at the end. */
  next: string | null;
}

async function pageOf(
  client: WeepholeClient,
  filters: Filters,
  from: string | null,
  signal?: AbortSignal,
): Promise<VehiclesShown> {
  const query = { ...queryOf(filters), limit: PAGE, ...(from !== null && { cursor: from }) };
  return (await client.get('/v1/vehicles', { query, signal })).data;
}

/** The vehicles by unit number, page by page. */
export function useVehicles(filters: Filters): {
  state: Signal<Loaded<VehiclesShown>>;
  reload: () => void;
  /** Loads the vehicles that follow. */
  more: () => Promise<void>;
} {
  const key = JSON.stringify(queryOf(filters));
  const latest = useRef(key);
  latest.current = key;
  const { state, reload } = useLoaded((client, signal) => pageOf(client, filters, null, signal), [key]);
  const more = async (): Promise<void> => {
    const shown = state.peek().value;
    if (shown === null || shown.next === null) return;
    try {
      const following = await pageOf(service(), filters, shown.next);
      const now = state.peek().value;
      // Loaded anew meanwhile, or asked twice.
      if (now?.next !== shown.next || latest.current !== key) return;
      state.value = { is: 'there', value: { ...following, items: [...now.items, ...following.items] } };
    } catch (problem) {
      state.value = { is: 'failed', value: state.peek().value, problem };
    }
  };
  return { state, reload, more };
}
