import { runStatement } from '../../platform/database/statement.js';
import type { EntityManager } from 'typeorm';
import type { StoredUsage } from '../../domain/conclusions/vehicle-history.js';
import type { Message } from '../../domain/message.js';
import type { UsageSource } from '../../domain/usage/types.js';
import type { UsageNeed } from './usage-need.js';

interface UsageRow {
  id: string;
  vehicle_id: string;
  read_at: Date;
  odometer_km: number | null;
  engine_hours: number | null;
  odometer_replaced: boolean;
  engine_hours_replaced: boolean;
  source: UsageSource;
  decision: StoredUsage['decision'];
  held_at_arrival: StoredUsage['heldAtArrival'];
  status: string;
  reason: string | null;
  detail: Message | null;
  odometer_lifetime_km: number | null;
  engine_hours_lifetime: number | null;
}

const USAGE_COLUMNS = `u.id, u.vehicle_id, u.read_at, u.odometer_km, u.engine_hours, u.odometer_replaced, u.engine_hours_replaced, u.source,
  u.decision, u.held_at_arrival, u.status, u.reason, u.detail, u.odometer_lifetime_km, u.engine_hours_lifetime`;

/** Some of a vehicle's readings, in time order. */
export interface SomeUsage {
  readings: StoredUsage[];
  /** Whether the vehicle has no earlier readings. */
  isComplete: boolean;
}

/** Loads the usage readings of several vehicles, each from its own instant on. */
export async function loadUsage(
  tx: EntityManager,
  fleetId: string,
  needs: readonly UsageNeed[],
): Promise<Map<string, SomeUsage>> {
  const byVehicle = new Map<string, SomeUsage>(
    needs.map(({ vehicleId, since }) => [vehicleId, { readings: [], isComplete: since === null }]),
  );
  if (needs.length === 0) return byVehicle;
  // Materialized, so that earlier readings are checked once for each vehicle and not for each
  // reading.
  const rows = await runStatement<(UsageRow & { has_earlier: boolean })[]>(tx, {
    name: 'load_usage',
    text: `with w as materialized (
       select n.vehicle_id, n.since, n.since > '-infinity' and (not n.asks or exists (
         select from usage_readings e where e.fleet_id = $1 and e.vehicle_id = n.vehicle_id and e.read_at < n.since and not e.is_undone)) as has_earlier
       from unnest($2::uuid[], $3::timestamptz[], $4::boolean[]) as n(vehicle_id, since, asks))
     select ${USAGE_COLUMNS}, w.has_earlier
     from w join usage_readings u on u.fleet_id = $1 and u.vehicle_id = w.vehicle_id and u.read_at >= w.since and not u.is_undone
     order by u.vehicle_id, u.read_at, u.id`,
    values: [
      fleetId,
      needs.map(({ vehicleId }) => vehicleId),
      needs.map(({ since }) => (since === null ? '-infinity' : new Date(since))),
      needs.map(({ asksForEarlier }) => asksForEarlier),
    ],
  });
  for (const row of rows) {
    const usage = byVehicle.get(row.vehicle_id);
    if (!usage) continue;
    usage.isComplete = !row.has_earlier;
    usage.readings.push(usageOf(row));
  }
  return byVehicle;
}

function usageOf(row: UsageRow): StoredUsage {
  return {
    id: row.id,
    at: row.read_at.getTime(),
    odometerKm: row.odometer_km,
    engineHours: row.engine_hours,
    odometerReplaced: row.odometer_replaced,
    engineHoursReplaced: row.engine_hours_replaced,
    source: row.source,
    decision: row.decision,
    heldAtArrival: row.held_at_arrival,
    status: row.status,
    reason: row.reason,
    detail: row.detail,
    odometerLifetimeKm: row.odometer_lifetime_km,
    engineHoursLifetime: row.engine_hours_lifetime,
  };
}
