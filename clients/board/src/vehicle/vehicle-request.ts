import type { WeepholeClient } from '../../../typescript/src/client.js';
import type { DueState, OtherCircuit } from '../types.js';
import { DUE_STATES } from '../due-lines/due-states.js';

export type LoadedVehicle = Awaited<ReturnType<typeof requestVehicle>>;

/** Faults of the cooling system and the belt drive. */
const KNOWN = { meaning: 'known', limit: 20 } as const;

/** Asks for a vehicle and all that its page shows. */
export async function requestVehicle(client: WeepholeClient, vehicleId: string, signal: AbortSignal) {
  const path = { id: vehicleId };
  const states = DUE_STATES.join() as DueState;
  const reading = client.get('/v1/vehicles/{id}', { path, signal });
  const sheetReading = reading.then(({ data: { specSheetId } }) =>
    specSheetId ? client.get('/v1/spec-sheets/{id}', { path: { id: specSheetId }, signal }) : null,
  );
  const [
    vehicle,
    sheet,
    usage,
    dueList,
    alerts,
    trend,
    others,
    holdTests,
    readings,
    jobs,
    summary,
    active,
    gone,
  ] = await Promise.all([
    reading,
    sheetReading,
    client.get('/v1/vehicles/{id}/usage', { path, signal }),
    client.get('/v1/due-list', { query: { vehicleId, state: states, limit: 200 }, signal }),
    client.get('/v1/loss-alerts', { query: { vehicleId }, signal }),
    client.get('/v1/vehicles/{id}/loss-trend', { path, signal }),
    sheetReading.then((found) => trendsOf(client, vehicleId, found?.data.otherCircuits ?? [], signal)),
    client.get('/v1/vehicles/{id}/readings', { path, query: { kind: 'hold-test' }, signal }),
    client.get('/v1/vehicles/{id}/readings', { path, query: { limit: 20 }, signal }),
    client.get('/v1/job-reports', { query: { vehicleId, limit: 20 }, signal }),
    client.get('/v1/due-list/summary', { query: { vehicleId }, signal }),
    client.get('/v1/vehicles/{id}/faults', { path, query: { ...KNOWN, state: 'active' }, signal }),
    client.get('/v1/vehicles/{id}/faults', { path, query: { ...KNOWN, state: 'gone', limit: 5 }, signal }),
  ]);
  return {
    vehicleId,
    vehicle: vehicle.data,
    depotName: summary.data.depots.find(({ depotId }) => depotId === vehicle.data.depotId)?.name ?? null,
    usage: usage.data,
    dueList: dueList.data,
    alerts: alerts.data.items,
    /** Of each circuit, the first one first. */
    trends: [{ trend: trend.data, coolant: sheet?.data.coolant ?? null }, ...others],
    holdTests: holdTests.data,
    readings: readings.data.items,
    jobs: jobs.data,
    faults: [...active.data.items, ...gone.data.items],
  };
}

/** The loss trends of further circuits, each with its coolant. */
function trendsOf(
  client: WeepholeClient,
  vehicleId: string,
  circuits: readonly OtherCircuit[],
  signal: AbortSignal,
) {
  return Promise.all(
    circuits.map(async ({ circuit, coolant }) => {
      const asked = { path: { id: vehicleId }, query: { circuit }, signal };
      const { data: trend } = await client.get('/v1/vehicles/{id}/loss-trend', asked);
      return { trend, coolant: coolant ?? null };
    }),
  );
}
