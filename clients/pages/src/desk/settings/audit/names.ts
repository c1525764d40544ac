import type { WeepholeClient } from '../../../../../typescript/src/client.js';

/** Who can have changed something: people and tokens, by their ids. */
export type Actors = readonly (readonly [id: string, name: string])[];

/** More than anybody looks through. */
const MOST = 1000;

type Named = '/v1/depots' | '/v1/spec-sheets' | '/v1/interval-plans' | '/v1/people' | '/v1/tokens';

async function allOf(client: WeepholeClient, path: Named, signal: AbortSignal): Promise<[string, string][]> {
  const found: [string, string][] = [];
  for await (const { id, name } of client.items(path, { query: { limit: 200 }, signal })) {
    found.push([id, name]);
    if (found.length >= MOST) break;
  }
  return found;
}

/** What the ids in the audit are called. */
export async function loadNames(
  client: WeepholeClient,
  signal: AbortSignal,
): Promise<{ names: ReadonlyMap<string, string>; actors: Actors }> {
  const load = (path: Named) => allOf(client, path, signal);
  const [people, tokens, ...others] = await Promise.all(
    (['/v1/people', '/v1/tokens', '/v1/depots', '/v1/spec-sheets', '/v1/interval-plans'] as const).map(load),
  );
  const actors = [...(people ?? []), ...(tokens ?? [])];
  return { actors, names: new Map([...actors, ...others.flat()]) };
}
