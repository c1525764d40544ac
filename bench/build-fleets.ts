import type pg from 'pg';
import { v7 as uuidv7 } from 'uuid';
import { issueToken } from '../src/platform/access/token.js';
import type { Role } from '../src/platform/scope/roles.js';
import { filling, withoutIndexes } from './database.js';

export interface BenchFleet {
  id: string;
  tokens: Record<'manager' | 'mechanic' | 'dashboard', string>;
}

export const TIME_ZONE = 'America/Denver';

/** Creates fleets with a token for each role and five depots each. */
export async function addFleets(admin: pg.Client, count: number): Promise<BenchFleet[]> {
  const fleets: BenchFleet[] = [];
  const tokens: { fleetId: string; role: Role; hash: Buffer }[] = [];
  const issue = (fleetId: string, role: Role): string => {
    const { token, hash } = issueToken();
    tokens.push({ fleetId, role, hash });
    return token;
  };
  for (let n = 0; n < count; n++) {
    const id = uuidv7();
    const roles = {
      manager: issue(id, 'manager'),
      mechanic: issue(id, 'mechanic'),
      dashboard: issue(id, 'dashboard'),
    };
    fleets.push({ id, tokens: roles });
  }
  const ids = fleets.map(({ id }) => id);
  await admin.query(
    `insert into fleets (id, name, time_zone, units, greatest_lead_days, greatest_grace_days)
     select id, 'Fleet ' || n, $2, 'us', 30, 14 from unnest($1::uuid[]) with ordinality as f(id, n)`,
    [ids, TIME_ZONE],
  );
  await admin.query(
    `insert into access_tokens (fleet_id, id, name, role, hash)
     select fleet_id, gen_random_uuid(), role, role, hash from unnest($1::uuid[], $2::text[], $3::bytea[]) as t(fleet_id, role, hash)`,
    [tokens.map((token) => token.fleetId), tokens.map(({ role }) => role), tokens.map(({ hash }) => hash)],
  );
  await admin.query('insert into fleet_changes (fleet_id, number) select unnest($1::uuid[]), 1', [ids]);
  await admin.query(
    `insert into depots (fleet_id, id, name, elevation_m, design_low_temperature_c)
     select fleet_id, gen_random_uuid(), 'Depot ' || n, 1000 + 200 * n, -25 from unnest($1::uuid[]) as f(fleet_id) cross join generate_series(1, 5) n`,
    [ids],
  );
  return fleets;
}

/** Copies the first fleet's one plan and sheet to the others. */
export async function copyPlanAndSheet(admin: pg.Client, from: BenchFleet, to: BenchFleet[]): Promise<void> {
  for (const table of ['interval_plans', 'spec_sheets']) {
    await admin.query(
      `insert into ${table} select (jsonb_populate_record(t, jsonb_build_object('fleet_id', f.id, 'id', gen_random_uuid()))).*
       from ${table} t cross join unnest($2::uuid[]) as f(id) where t.fleet_id = $1`,
      [from.id, to.map(({ id }) => id)],
    );
  }
}

/** Creates vehicles, evenly spread over the fleets, with their assignments but no conclusions. */
export async function addVehicles(admin: pg.Client, fleets: BenchFleet[], vehicles: number): Promise<void> {
  const ids = fleets.map(({ id }) => id);
  await filling(admin, async () => {
    await withoutIndexes(admin, ['vehicles', 'vehicle_assignments'], async () => {
      await admin.query(
        `insert into vehicles (fleet_id, id, unit_number, depot_id, spec_sheet_id, interval_plan_id, duty, status, in_service_on, in_service_odometer_km)
         select f.id, gen_random_uuid(), 'U-' || lpad(n::text, 8, '0'), d.ids[1 + n % 5], s.id, p.id, 'normal', 'in-use', current_date - 1000, 0
         from unnest($1::uuid[]) with ordinality as f(id, place)
         cross join lateral (select array_agg(id order by name) as ids from depots where fleet_id = f.id) d
         join spec_sheets s on s.fleet_id = f.id
         join interval_plans p on p.fleet_id = f.id
         cross join lateral generate_series(f.place::int, $2::int, cardinality($1::uuid[])) n`,
        [ids, vehicles],
      );
      await admin.query(
        `insert into vehicle_assignments (fleet_id, id, vehicle_id, effective_on, depot_id, duty, spec_sheet_id, interval_plan_id, status)
         select fleet_id, gen_random_uuid(), id, in_service_on, depot_id, duty, spec_sheet_id, interval_plan_id, status
         from vehicles where fleet_id = any($1::uuid[])`,
        [ids],
      );
    });
  });
}

/**
 * Creates three due lines and a usage summary for each vehicle, as the service would conclude them.
 * The due dates cover about three years; a tenth of the lines are in their window or past it.
 */
export async function addLines(admin: pg.Client, fleets: BenchFleet[]): Promise<void> {
  const ids = fleets.map(({ id }) => id);
  await filling(admin, async () => {
    await withoutIndexes(admin, ['due_lines', 'usage_summaries'], async () => {
      await admin.query(
        `insert into due_lines (fleet_id, id, vehicle_id, unit_number, depot_id, component, action, origin, window_opens_on, due_on, late_on,
           earliest_on, latest_on, trigger, due_odometer_lifetime_km, due_date, last_done_on, last_done_odometer_lifetime_km, cycle, stale_on)
         select v.fleet_id, gen_random_uuid(), v.id, v.unit_number, v.depot_id, w.component, w.action, 'interval',
           r.due_on - 30, r.due_on, r.due_on + 14, r.due_on - 20, r.due_on + 25, 'distance', 160000 + r.share * 1000, r.due_on + 200,
           v.in_service_on, v.in_service_odometer_km, 'in-service', current_date + 58
         from vehicles v
         cross join (values ('water-pump', 'replace'), ('coolant', 'replace'), ('drive-belt', 'inspect')) as w(component, action)
         cross join lateral (select random() as share where v.id is not null and w.component is not null) as s
         cross join lateral (select s.share, current_date - 80 + (s.share * 1100)::int as due_on) as r
         where v.fleet_id = any($1::uuid[])`,
        [ids],
      );
      await admin.query(
        `insert into usage_summaries (fleet_id, vehicle_id, odometer_read_at, odometer_lifetime_km, odometer_offset_km, distance_rate)
         select fleet_id, id, now() - interval '1 day', 120000, 0,
           '{"perDay": 62.5, "low": 58.1, "high": 66.9, "method": "theil-sen-90-days", "sPerRootDay": 24.2, "deviation": 2.6, "spanDays": 88, "n": 30, "inUseMonths": null}'
         from vehicles where fleet_id = any($1::uuid[])`,
        [ids],
      );
    });
  });
  await admin.query('vacuum analyze');
}

/** Raises a fleet's change number, as every change does, so that no cached response stays valid. */
export async function changeFleet(admin: pg.Client, fleetId: string): Promise<void> {
  await admin.query('update fleet_changes set number = number + 1 where fleet_id = $1', [fleetId]);
}
