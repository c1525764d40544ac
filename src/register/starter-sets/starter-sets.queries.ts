import type { EntityManager } from 'typeorm';
import { fleetScope } from '../../platform/scope/fleet-scope.js';

/** Those of the names that spec sheets and interval plans of the fleet have already. */
export async function takenNames(
  tx: EntityManager,
  names: readonly string[],
): Promise<{ sheets: Set<string>; plans: Set<string> }> {
  const rows = await tx.query<{ name: string; ofSheet: boolean }[]>(
    `select name, true as "ofSheet" from spec_sheets where fleet_id = $1 and name = any($2::text[])
     union all
     select name, false from interval_plans where fleet_id = $1 and name = any($2::text[])`,
    [fleetScope().fleetId, names],
  );
  const namesOf = (ofSheet: boolean): Set<string> =>
    new Set(rows.filter((row) => row.ofSheet === ofSheet).map(({ name }) => name));
  return { sheets: namesOf(true), plans: namesOf(false) };
}
