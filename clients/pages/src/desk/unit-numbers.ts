import type { WeepholeClient } from '../../../typescript/src/client.js';

/** Unit numbers by vehicle, as far as they were asked for. They hardly ever change. */
const known = new Map<string, string>();

/** The unit numbers of some vehicles, each asked for once. */
export async function unitNumbersOf(
  client: WeepholeClient,
  vehicleIds: readonly string[],
  signal: AbortSignal,
): Promise<ReadonlyMap<string, string>> {
  const missing = [...new Set(vehicleIds)].filter((id) => !known.has(id));
  await Promise.all(
    missing.map(async (id) => {
      const { data } = await client.get('/v1/vehicles/{id}', { path: { id }, signal });
      known.set(id, data.unitNumber);
    }),
  );
  return known;
}
