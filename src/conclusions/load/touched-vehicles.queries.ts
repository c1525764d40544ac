import type { EntityManager } from 'typeorm';

/** Which vehicles a wider change touches. */
export type Touched = { intervalPlanId: string } | { specSheetId: string } | { depotId: string } | 'all';

const WHERE: Record<string, string> = {
  // A plan counts for as long as it was ever in force: the share used under it carries over.
  intervalPlanId:
    'and id in (select vehicle_id from vehicle_assignments where fleet_id = $1 and interval_plan_id = $2)',
  specSheetId: 'and spec_sheet_id = $2',
  depotId: 'and depot_id = $2',
};

/** Locks the vehicles that a change touches. @returns their ids, in order */
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
