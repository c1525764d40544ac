import type { EntityManager } from 'typeorm';
import type { Plans, VehicleHistory } from '../../domain/conclusions/vehicle-history.js';
import { forEachYielding } from '../../platform/concurrency/yielding.js';
import { loadFacts } from './facts.queries.js';
import { loadStanding } from './standing.queries.js';
import { usageNeed } from './usage-need.js';
import { loadUsage } from './usage.queries.js';
import { loadVehicles } from './vehicles.queries.js';

/** What changed about a vehicle. */
export interface VehicleChange {
  vehicleId: string;
  /**
   * The earliest instant at which a usage reading was added or removed, or changed its status. Null
   * when none did.
   */
  usageFrom: Date | null;
  /** Whether unchanged lines may be news: the audience has changed, or the day has. */
  isToldAnew?: boolean;
  /**
   * Whether other targets than before may have to be told about the vehicle, including its alerts
   * and readings.
   */
  isMoved?: boolean;
}

/** The recorded facts of some vehicles, from which conclusions can be derived. */
export interface Loaded {
  histories: VehicleHistory[];
  plans: Plans;
}

/**
 * Loads the recorded facts of the vehicles, as far as the changes require. The number of statements
 * does not grow with the number of vehicles.
 *
 * @param factsChanged whether anything but usage changed
 */
export async function load(
  tx: EntityManager,
  fleetId: string,
  changes: VehicleChange[],
  factsChanged: boolean,
): Promise<Loaded> {
  const { histories, plans } = await loadVehicles(
    tx,
    fleetId,
    changes.map(({ vehicleId, usageFrom }) => ({ vehicleId, changedFrom: usageFrom?.getTime() ?? null })),
  );
  const changeOf = new Map(changes.map((change) => [change.vehicleId, change]));
  const needs = histories.flatMap((history) => {
    const { usageFrom = null, isToldAnew, isMoved } = changeOf.get(history.vehicleId) ?? {};
    Object.assign(history, { isToldAnew, isMoved });
    if (usageFrom === null) return [];
    const { need, start, memory } = usageNeed(history.vehicleId, history.summary, usageFrom.getTime());
    history.usage = { readings: [], start, memory, isComplete: false, isChanged: true };
    return [need];
  });
  // All queries are sent before the first one is answered.
  const [usage, movable] = await Promise.all([
    loadUsage(tx, fleetId, needs),
    loadStanding(tx, fleetId, histories),
    ...(factsChanged ? [loadFacts(tx, fleetId, histories)] : []),
  ]);
  for (const history of histories) Object.assign(history.usage, usage.get(history.vehicleId));
  if (!factsChanged && movable.length > 0) await loadFacts(tx, fleetId, movable);
  return { histories, plans };
}

/** Loads everything recorded about vehicles for which too little was loaded. */
export async function loadAll(
  tx: EntityManager,
  fleetId: string,
  histories: VehicleHistory[],
): Promise<void> {
  const stored = await loadUsage(
    tx,
    fleetId,
    histories.map(({ vehicleId }) => ({ vehicleId, since: null, asksForEarlier: false })),
  );
  // When all of the usage is judged again, any reading may get another position. So far only the
  // latest facts were checked.
  const unread = histories.filter((history) => history.readings === null);
  if (unread.length > 0) await loadFacts(tx, fleetId, unread);
  await forEachYielding(histories, (history) => {
    // A reading that is part of the current change may not be stored yet.
    const all = stored.get(history.vehicleId)?.readings ?? [];
    const known = new Set(all.map((reading) => reading.id));
    const fresh = history.usage.readings.filter((reading) => !known.has(reading.id));
    const readings = [...all, ...fresh].sort((a, b) => a.at - b.at);
    const { isChanged } = history.usage;
    history.usage = { readings, start: null, memory: null, isComplete: true, isChanged };
  });
}
