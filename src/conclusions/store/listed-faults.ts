import type { EntityManager } from 'typeorm';
import { episodesOf } from '../../domain/faults/episodes.js';
import { faultCodeIn } from '../../domain/faults/fault-code.js';
import type { SightingSpan } from '../../domain/faults/spans.js';
import type { FaultListedAs } from '../../entities/fault.entity.js';
import { arrayLiteral } from '../../platform/database/array-literal.js';
import { runStatement } from '../../platform/database/statement.js';

interface ListedRow {
  id: string;
  vehicleId: string;
  code: string;
  isActive: boolean;
  firstAt: Date;
  lastAt: Date;
  isVoided: boolean;
  listedAs: FaultListedAs | null;
  goneAt: Date | null;
}

const COLUMNS = `f.id, f.vehicle_id as "vehicleId", f.code, f.is_active as "isActive", f.first_at as "firstAt", f.last_at as "lastAt",
  f.voided_at is not null as "isVoided", f.listed_as as "listedAs", f.gone_at as "goneAt"`;

/** How a row is listed, and when its fault was read as gone, in epoch milliseconds. */
interface Listing {
  listedAs: FaultListedAs | null;
  goneAt: number | null;
}

const NOT_LISTED: Listing = { listedAs: null, goneAt: null };

/**
 * Lists the faults of some codes anew, after their rows have changed: the first row of each episode
 * stands for all of it.
 */
export async function relistCodes(
  tx: EntityManager,
  fleetId: string,
  codes: readonly { vehicleId: string; code: string }[],
): Promise<void> {
  if (codes.length === 0) return;
  const rows = await runStatement<ListedRow[]>(tx, {
    name: 'faults_to_relist',
    text: `select ${COLUMNS} from faults f
     where f.fleet_id = $1 and (f.vehicle_id, f.code) in (select * from unnest($2::uuid[], $3::text[])) order by f.id`,
    values: [fleetId, codes.map(({ vehicleId }) => vehicleId), codes.map(({ code }) => code)],
  });
  await relist(tx, fleetId, rows);
}

/**
 * Lists all faults of some vehicles anew.
 *
 * @returns the ids of the faults that were listed differently
 */
export async function relistVehicles(
  tx: EntityManager,
  fleetId: string,
  vehicleIds: readonly string[],
): Promise<{ id: string; vehicleId: string }[]> {
  const rows = await tx.query<ListedRow[]>(
    `select ${COLUMNS} from faults f where f.fleet_id = $1 and f.vehicle_id = any ($2) order by f.id`,
    [fleetId, vehicleIds],
  );
  return relist(tx, fleetId, rows);
}

async function relist(tx: EntityManager, fleetId: string, rows: readonly ListedRow[]): Promise<ListedRow[]> {
  const listings = listingsOf(rows);
  const listingOf = ({ id }: ListedRow): Listing => listings.get(id) ?? NOT_LISTED;
  const changed = rows.filter((row) => {
    const { listedAs, goneAt } = listingOf(row);
    return row.listedAs !== listedAs || (row.goneAt?.getTime() ?? null) !== goneAt;
  });
  if (changed.length === 0) return changed;
  await runStatement(tx, {
    name: 'relist_faults',
    text: `update faults f set listed_as = r.listed_as, gone_at = r.gone_at
     from unnest($2::uuid[], $3::text[], $4::timestamptz[]) as r(id, listed_as, gone_at) where f.fleet_id = $1 and f.id = r.id`,
    values: [
      fleetId,
      arrayLiteral(changed.map(({ id }) => id)),
      arrayLiteral(changed.map((row) => listingOf(row).listedAs)),
      arrayLiteral(
        changed.map((row) => {
          const { goneAt } = listingOf(row);
          return goneAt === null ? null : new Date(goneAt);
        }),
      ),
    ],
  });
  return changed;
}

/** How each row is listed; those that are missing are not. */
function listingsOf(rows: readonly ListedRow[]): Map<string, Listing> {
  const listings = new Map<string, Listing>();
  const standing = new Map<string, SightingSpan[]>();
  for (const { id, vehicleId, code, isActive, firstAt, lastAt, isVoided } of rows) {
    if (isVoided && isActive) listings.set(id, { listedAs: 'voided', goneAt: null });
    if (isVoided) continue;
    const key = `${vehicleId} ${code}`;
    const instants = { firstAt: firstAt.getTime(), lastAt: lastAt.getTime() };
    const span = { id, code: faultCodeIn(code), isActive, ...instants, occurrences: null };
    standing.set(key, [...(standing.get(key) ?? []), span]);
  }
  for (const spans of standing.values())
    for (const { head, goneAt } of episodesOf(spans))
      listings.set(head.id, { listedAs: goneAt === null ? 'active' : 'gone', goneAt });
  return listings;
}
