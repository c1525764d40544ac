import type { EntityManager } from 'typeorm';

/**
 * Deletes outbox rows, in the transaction that stores the reminders. If that is rolled back, the
 * rows stay. Skips the rows of transactions that are still open.
 *
 * @returns the ids of their vehicles, and whether there may be more rows
 */
export async function takeRequests(
  tx: EntityManager,
  fleetId: string,
  limit: number,
): Promise<{ vehicleIds: string[]; isMore: boolean }> {
  const [rows] = await tx.query<[{ vehicle_id: string }[], number]>(
    `with taken as materialized (
       select vehicle_id, id from sweep_requests where fleet_id = $1 order by requested_at limit $2 for update skip locked)
     delete from sweep_requests s using taken where s.fleet_id = $1 and s.vehicle_id = taken.vehicle_id and s.id = taken.id returning s.vehicle_id`,
    [fleetId, limit],
  );
  return { vehicleIds: [...new Set(rows.map((row) => row.vehicle_id))], isMore: rows.length === limit };
}

/** Whether committed transactions have left outbox rows. */
export async function hasRequests(manager: EntityManager, fleetId: string): Promise<boolean> {
  const [row] = await manager.query<{ there: boolean }[]>(
    'select exists (select from sweep_requests where fleet_id = $1) as there',
    [fleetId],
  );
  return row?.there ?? false;
}
