import type { EntityManager } from 'typeorm';

/**
 * The failed safety readings with which the vehicles were released, and that are not settled yet.
 */
export async function openFindingsOf(
  manager: EntityManager,
  fleetId: string,
  vehicleIds: readonly string[],
): Promise<Set<string>> {
  if (vehicleIds.length === 0) return new Set();
  const rows = await manager.query<{ readings: string[] }[]>(
    `select released_with as readings from due_lines
     where fleet_id = $1 and vehicle_id = any($2::uuid[]) and is_open and released_with is not null`,
    [fleetId, vehicleIds],
  );
  return new Set(rows.flatMap(({ readings }) => readings));
}
