import type { EntityManager } from 'typeorm';

/**
 * At most this many vehicles without a sheet or plan are looked at. The answer then says "at
 * least".
 */
export const MOST_VEHICLES = 200;

export interface FirstStepsRow {
  hasDepot: boolean;
  hasVehicle: boolean;
  /** Vehicles without a sheet among the first `MOST_VEHICLES` + 1, disposed of or not. */
  seenWithoutSheet: number;
  /** Those of them that are not disposed of. */
  withoutSheet: number;
  seenWithoutPlan: number;
  withoutPlan: number;
  hasReadyMade: boolean;
  hasUsage: boolean;
  hasTarget: boolean;
  hasTestedTarget: boolean;
  hasSecondPerson: boolean;
}

/** The vehicles that have none of something: an index range of a bounded length. */
const lacking = (column: string, name: string): string =>
  `cross join lateral (
     select count(*)::int as seen, (count(*) filter (where status <> 'disposed'))::int as standing
     from (select v.status from vehicles v where v.fleet_id = $1 and v.${column} is null limit ${MOST_VEHICLES + 1}) v) ${name}`;

/** Who asks: the token or the person of the request, if it has one. */
export interface Asker {
  tokenId: string | null;
  personId: string | null;
}

/**
 * What a fleet has already, in one statement. It looks only whether there is any, so it costs the
 * same in every fleet.
 */
export const firstStepsStatement = (fleetId: string, { tokenId, personId }: Asker, now: Date) => ({
  text: `select exists (select from depots where fleet_id = $1) as "hasDepot",
     exists (select from vehicles where fleet_id = $1) as "hasVehicle",
     sheetless.seen as "seenWithoutSheet", sheetless.standing as "withoutSheet",
     planless.seen as "seenWithoutPlan", planless.standing as "withoutPlan",
     exists (select from spec_sheets where fleet_id = $1 and starter_values <> '{}')
       or exists (select from interval_plans where fleet_id = $1 and jsonb_path_exists(intervals, '$[*] ? (@.isStarter == true)')) as "hasReadyMade",
     exists (select from usage_readings where fleet_id = $1) as "hasUsage",
     exists (select from reminder_targets where fleet_id = $1 and removed_at is null and disabled_at is null) as "hasTarget",
     exists (select from reminder_targets where fleet_id = $1 and removed_at is null and disabled_at is null and tested_at is not null) as "hasTestedTarget",
     exists (select from access_tokens where fleet_id = $1 and id is distinct from $2::uuid and last_used_at is not null and revoked_at is null
               and (expires_at is null or expires_at > $3::timestamptz) and role in ('manager', 'mechanic', 'driver'))
       or exists (select from sessions where fleet_id = $1 and person_id is not null and person_id is distinct from $4::uuid) as "hasSecondPerson"
   from (select) one ${lacking('spec_sheet_id', 'sheetless')} ${lacking('interval_plan_id', 'planless')}`,
  values: [fleetId, tokenId, now.toISOString(), personId],
});

export async function firstStepsRow(
  manager: EntityManager,
  fleetId: string,
  asker: Asker,
  now: Date,
): Promise<FirstStepsRow> {
  const { text, values } = firstStepsStatement(fleetId, asker, now);
  const [row] = await manager.query<[FirstStepsRow]>(text, values);
  return row;
}
