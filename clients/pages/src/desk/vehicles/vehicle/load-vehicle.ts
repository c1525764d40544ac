import type { WeepholeClient } from '../../../../../typescript/src/client.js';
import { DUE_STATES, type DueLine } from '../../../kit/due/due-line.js';
import { readIn } from '../../../kit/texts/tell.js';
import type { Vehicle } from '../types.js';

/** Faults of the cooling system and the belt drive. */
const KNOWN = { meaning: 'known', limit: 20 } as const;

export type LoadedVehicle = Awaited<ReturnType<typeof loadVehicle>>;

/** Loads a vehicle and what is open on it: what its page shows first. */
export async function loadVehicle(client: WeepholeClient, id: string, signal: AbortSignal) {
  const path = { id };
  const query = { vehicleId: id };
  const state = DUE_STATES.join() as DueLine['state'];
  const [me, vehicle, due, alerts, held, defects, usage, active, gone] = await Promise.all([
    client.get('/v1/me', { signal }),
    client.get('/v1/vehicles/{id}', { path, signal }),
    client.get('/v1/due-list', { query: { ...query, state, limit: 200 }, signal }),
    client.get('/v1/loss-alerts', { query, signal }),
    client.get('/v1/usage-readings', { query: { ...query, status: 'held' }, signal }),
    client.get('/v1/defects', { query: { ...query, state: 'open' }, signal }),
    client.get('/v1/vehicles/{id}/usage', { path, signal }),
    client.get('/v1/vehicles/{id}/faults', { path, query: { ...KNOWN, state: 'active' }, signal }),
    client.get('/v1/vehicles/{id}/faults', { path, query: { ...KNOWN, state: 'gone', limit: 5 }, signal }),
  ]);
  readIn(me.data.units);
  return {
    me: me.data,
    vehicle: vehicle.data,
    due: due.data,
    alerts: alerts.data.items,
    held: held.data.items,
    defects: defects.data.items,
    usage: usage.data,
    faults: [...active.data.items, ...gone.data.items],
    names: await namesOf(client, vehicle.data, signal),
  };
}

/** The names of what a vehicle is assigned to; null where it is assigned to nothing. */
async function namesOf(client: WeepholeClient, vehicle: Vehicle, signal: AbortSignal) {
  const { depotId, specSheetId, intervalPlanId, mountedOn } = vehicle;
  const [depot, sheet, plan, carrier] = await Promise.all([
    depotId ? client.get('/v1/depots/{id}', { path: { id: depotId }, signal }) : null,
    specSheetId ? client.get('/v1/spec-sheets/{id}', { path: { id: specSheetId }, signal }) : null,
    intervalPlanId ? client.get('/v1/interval-plans/{id}', { path: { id: intervalPlanId }, signal }) : null,
    mountedOn ? client.get('/v1/vehicles/{id}', { path: { id: mountedOn }, signal }) : null,
  ]);
  return {
    depot: depot?.data.name ?? null,
    sheet: sheet?.data ?? null,
    plan: plan?.data.name ?? null,
    carrier: carrier?.data.unitNumber ?? null,
  };
}
