import type { EntityManager } from 'typeorm';
import type { ConcludedDefect } from '../../domain/conclusions/defects.js';
import { runStatement } from '../../platform/database/statement.js';

/** Stores the conclusions about defects in one statement: their states, and their usage. */
export async function saveDefects(
  tx: EntityManager,
  fleetId: string,
  defects: readonly ConcludedDefect[],
): Promise<void> {
  if (defects.length === 0) return;
  await runStatement(tx, {
    name: 'save_defects',
    text: `update defects t set state = c.state, repaired_by_id = c.repaired_by, odometer_lifetime_km = c.km, engine_hours_lifetime = c.hours
     from unnest($2::uuid[], $3::text[], $4::uuid[], $5::float8[], $6::float8[]) as c(id, state, repaired_by, km, hours)
     where t.fleet_id = $1 and t.id = c.id`,
    values: [
      fleetId,
      defects.map(({ id }) => id),
      defects.map(({ state }) => state),
      defects.map(({ repairedBy }) => repairedBy),
      defects.map(({ odometerLifetimeKm }) => odometerLifetimeKm),
      defects.map(({ engineHoursLifetime }) => engineHoursLifetime),
    ],
  });
}
