import type { components, WeepholeClient } from '../../../../typescript/src/client.js';

/** A report by which somebody added coolant that counts for nothing yet. */
export type HeldTopUp = components['schemas']['DefectView'];

const MOST = '50';

/** The latest reports of coolant that nobody has accepted or discarded, and whether these are all. */
export async function heldTopUps(
  client: WeepholeClient,
  signal: AbortSignal,
): Promise<{ items: readonly HeldTopUp[]; isAll: boolean }> {
  const query = { topUp: 'held', limit: MOST } as const;
  const { data } = await client.get('/v1/defects', { query, signal });
  return { items: data.items, isAll: data.next === null };
}
