import type { EntityManager } from 'typeorm';

/** The vehicles that a wider change affects. */
export type Touched = { intervalPlanId: string } | { specSheetId: string } | { depotId: string } | 'all';

const WHERE: Record<string, string> = {
  // Includes vehicles that followed the plan in the past: usage under that plan still counts
  // towards their present interval.
  intervalPlanId:
    'and id in (select vehicle_id from vehicle_assignments where fleet_id = $1 and interval_plan_id = $2)',
  specSheetId: 'and spec_sheet_id = $2',
  depotId: 'and depot_id = $2',
};

/**
 * Locks the vehicles that a change affects.
 *
 * @returns their ids, in order
 */
export async function lockTouched(tx: EntityManager, fleetId: string, touched: Touched): Promise<string[]> {
  const [kind, id] = touched === 'all' ? [null, null] : (Object.entries(touched)[0] ?? [null, null]);
  const rows = await tx.query<{ id: string }[]>(
    `select id from vehicles where fleet_id = $1 ${kind === null ? 'and $2::uuid is null' : WHERE[kind]} order by id`,
    [fleetId, id],
  );
  const ids = rows.map((row) => row.id);
  await tx.query(
    'select id from vehicles where fleet_id = $1 and id = any($2::uuid[]) order by id for no key update',
    [fleetId, ids],
  );
  return ids;
}
