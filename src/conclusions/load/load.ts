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
   * The earliest instant at which a usage reading came, went or changed standing; null when none
   * did.
   */
  usageFrom: Date | null;
  /** Whether unchanged lines may be news: the audience changed, or the day did. */
  isToldAnew?: boolean;
  /** Whether other targets may hear of the vehicle than before: of its alerts and readings, too. */
  isMoved?: boolean;
}

/** The recorded facts of some vehicles, ready for conclusions to be derived from them. */
export interface Loaded {
  histories: VehicleHistory[];
  plans: Plans;
}

/**
 * Loads what is recorded about vehicles, as far as the changes need it. The number of statements
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
  // Sent one after the other without waiting for the first.
  const [usage, movable] = await Promise.all([
    loadUsage(tx, fleetId, needs),
    loadStanding(tx, fleetId, histories),
    ...(factsChanged ? [loadFacts(tx, fleetId, histories)] : []),
  ]);
  for (const history of histories) Object.assign(history.usage, usage.get(history.vehicleId));
  if (!factsChanged && movable.length > 0) await loadFacts(tx, fleetId, movable);
  return { histories, plans };
}

/** Loads all that is recorded about vehicles of which too little was loaded. */
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
  // All of the usage may move all of the measurements, where only the latest were looked at.
  const unread = histories.filter((history) => history.readings === null);
  if (unread.length > 0) await loadFacts(tx, fleetId, unread);
  await forEachYielding(histories, (history) => {
    // A reading that came with the change at hand may not be stored yet.
    const all = stored.get(history.vehicleId)?.readings ?? [];
    const known = new Set(all.map((reading) => reading.id));
    const fresh = history.usage.readings.filter((reading) => !known.has(reading.id));
    const readings = [...all, ...fresh].sort((a, b) => a.at - b.at);
    const { isChanged } = history.usage;
    history.usage = { readings, start: null, memory: null, isComplete: true, isChanged };
  });
}
