import type { WeepholeClient } from '../../../../../typescript/src/client.js';

type Path = '/v1/depots' | '/v1/spec-sheets' | '/v1/interval-plans';

/** Values and their names. */
export type Choices = readonly (readonly [value: string, name: string])[];

export interface AllChoices {
  depotId: Choices;
  specSheetId: Choices;
  intervalPlanId: Choices;
}

/** More than anybody chooses from. */
const MOST = 1000;

async function allOf(client: WeepholeClient, path: Path, signal: AbortSignal): Promise<Choices> {
  const found: [string, string][] = [];
  for await (const { id, name } of client.items(path, { query: { limit: 200 }, signal })) {
    found.push([id, name]);
    if (found.length >= MOST) break;
  }
  return found;
}

/** What a vehicle can be assigned to. */
export async function loadChoices(client: WeepholeClient, signal: AbortSignal): Promise<AllChoices> {
  const [depotId, specSheetId, intervalPlanId] = await Promise.all([
    allOf(client, '/v1/depots', signal),
    allOf(client, '/v1/spec-sheets', signal),
    allOf(client, '/v1/interval-plans', signal),
  ]);
  return { depotId, specSheetId, intervalPlanId };
}
