import { type components, ProblemError, type WeepholeClient } from '../../../../typescript/src/client.js';
import type { Visit } from '../day/day.js';
import { service } from '../../kit/service/session.js';
import type { KnownVehicle, Practice } from '../known/known-vehicle.js';
import { freshOrKept, type Kept, keepAnswer, keptAnswer, keptAt } from '../store/kept-answers.js';

/** As many as a depot has in work on a day. */
const MOST_LINES = 200;

export type DueLines = components['schemas']['DueLineItem'][];
export type FoundVehicle = { id: string; unitNumber: string };

async function askVehicle(client: WeepholeClient, id: string): Promise<KnownVehicle> {
  const path = { id };
  const { data: card } = await client.get('/v1/vehicles/{id}/job-card', { path, query: { format: 'json' } });
  const [sheet, due] = await Promise.all([
    card.specSheet === null
      ? null
      : client.get('/v1/spec-sheets/{id}', { path: { id: card.specSheet.id } }).then(({ data }) => data),
    client.get('/v1/due-list', { query: { vehicleId: id, limit: '100' } }),
  ]);
  return { card, sheet, dueLines: due.data.items };
}

/** By what the fleet judges where a spec sheet says nothing. */
const loadPractice = (who: string): Promise<Kept<Practice>> =>
  freshOrKept(who, 'practice', async () => (await service().get('/v1/fleet')).data.defaults ?? {});

/** A vehicle with its card; without a network, as it was kept. */
export async function loadVehicle(who: string, id: string): Promise<Kept<KnownVehicle>> {
  const [known, practice] = await Promise.all([
    freshOrKept(who, `vehicle ${id}`, () => askVehicle(service(), id)),
    // A vehicle that was kept is shown without it rather than not at all.
    loadPractice(who).catch(() => null),
  ]);
  return practice === null ? known : { ...known, value: { ...known.value, practice: practice.value } };
}

/** What is due in the depots of the person, the worst first. */
export const loadDue = (who: string): Promise<Kept<DueLines>> =>
  freshOrKept(
    who,
    'due',
    async () => (await service().get('/v1/due-list', { query: { limit: String(MOST_LINES) } })).data.items,
  );

/** The visits planned in the depots of the person, the earliest first. */
export const loadVisits = (who: string): Promise<Kept<Visit[]>> =>
  freshOrKept(who, 'visits', async () => {
    const query = { state: 'planned', limit: String(MOST_LINES) } as const;
    return (await service().get('/v1/visits', { query })).data.items;
  });

/** What was due when it was last asked. */
export const keptDue = async (who: string): Promise<DueLines> =>
  (await keptAnswer<DueLines>(who, 'due')) ?? [];

/** Finds vehicles by a part of the unit number. @throws NoAnswerError without a network */
export async function findVehicles(typed: string): Promise<FoundVehicle[]> {
  const { data } = await service().get('/v1/vehicles', { query: { q: typed, limit: '20' } });
  return data.items.map(({ id, unitNumber }) => ({ id, unitNumber }));
}

/** Keeps the first of some vehicles for a time without a network, one after another. */
export async function keepVehicles(who: string, ids: readonly string[]): Promise<void> {
  await loadPractice(who).catch(() => null);
  for (const id of ids.slice(0, MOST_VEHICLES)) {
    const at = await keptAt(who, `vehicle ${id}`);
    if (at !== null && Date.now() - Date.parse(at) < FRESH_MS) continue;
    try {
      await keepAnswer(who, `vehicle ${id}`, await askVehicle(service(), id));
    } catch (fault) {
      // Without an answer now, the rest would not come either. The next start goes on.
      if (!(fault instanceof ProblemError) || fault.status === 401) return;
    }
  }
}

/** Kept on a phone at once: the cards of a day's work, at three requests each. */
const MOST_VEHICLES = 40;
/** A vehicle that was kept this recently is not asked for again. */
const FRESH_MS = 30 * 60_000;
