/**
 * SQL conditions that decide which targets get a piece of news. `t` is the alias of
 * `reminder_targets`.
 */

/** True when anything is sent to the target at all. */
export const IS_LIVE = 't.disabled_at is null and t.removed_at is null';

/**
 * True when the target gets news about a vehicle.
 *
 * @param depotId SQL expression
 * @param vehicleId SQL expression
 */
export function hearsOfVehicle(fleetId: string, depotId: string, vehicleId: string): string {
  return `(cardinality(t.depot_ids) = 0 or ${depotId} = any(t.depot_ids))
    and (cardinality(t.vehicle_ids) = 0 or ${vehicleId} = any(t.vehicle_ids))
    and (cardinality(t.duties) = 0 and cardinality(t.interval_plan_ids) = 0 or exists (
      select from vehicles kept where kept.fleet_id = ${fleetId} and kept.id = ${vehicleId}
        and (cardinality(t.duties) = 0 or kept.duty = any(t.duties))
        and (cardinality(t.interval_plan_ids) = 0 or kept.interval_plan_id = any(t.interval_plan_ids))))`;
}

/**
 * True while the target has a waiting digest that has not collected its content yet. @param cycle
 * SQL pattern of the digest's cycle
 */
export function hasOpenDigest(cycle = '%'): string {
  return `exists (select from reminders g where g.fleet_id = t.fleet_id and g.target_id = t.id
    and g.news = 'digest' and g.status = 'waiting' and g.body is null and g.cycle like '${cycle}')`;
}
