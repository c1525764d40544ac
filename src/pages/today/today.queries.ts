import type { EntityManager } from 'typeorm';
import {
  DECISION_KINDS,
  type DecisionKind,
  FAILED_REPORT_DAYS,
  rankOf,
} from '../../domain/decisions/decisions.js';
import type { Keys } from '../../platform/pages/keyset.js';
import { type LossAlertRow, lossAlertRows } from '../../conclusions/loss-alerts/loss-alerts.queries.js';
import { isLate } from '../../conclusions/due-list/due-state.sql.js';
import { visitStands } from '../../conclusions/due-list/visit-stands.sql.js';

/** `$2` is today in the fleet's zone, `$3` is now. */
const DAY = '$2::date';
const NOW = '$3::timestamptz';

/** Where the matters of a kind are found, for an alias of their table. */
interface Stretch {
  table: string;
  /** A day, or an instant. */
  since: string;
  isDay: boolean;
  where: (row: string) => string;
}

const STRETCHES: Readonly<Record<DecisionKind, Stretch>> = {
  'released-with-findings': {
    ...{ table: 'due_lines', since: 'due_on', isDay: true },
    where: (l) => `${l}.is_open and ${l}.released_with is not null`,
  },
  'at-once': {
    ...{ table: 'due_lines', since: 'due_on', isDay: true },
    where: (l) => `${l}.is_open and ${l}.is_at_once and ${l}.due_on <= ${DAY}`,
  },
  defect: {
    ...{ table: 'defects', since: 'reported_at', isDay: false },
    where: (d) => `${d}.state = 'reported'`,
  },
  late: {
    ...{ table: 'due_lines', since: 'due_on', isDay: true },
    where: (l) => `${l}.is_open and not ${l}.no_baseline and ${l}.due_on <= ${DAY} and ${isLate(DAY, l)}`,
  },
  'loss-alert': {
    ...{ table: 'loss_alerts', since: 'raised_at', isDay: false },
    where: (a) =>
      `${a}.is_standing and ${a}.vehicle_id is not null and ${a}.status <> 'cleared' and (${a}.status = 'raised' or ${a}.status = 'shelved' and ${a}.shelved_until <= ${NOW})`,
  },
  'failed-report': {
    ...{ table: 'job_reports', since: 'performed_at', isDay: false },
    where: (j) =>
      `${j}.verdict = 'fail' and ${j}.voided_at is null and ${j}.performed_at > ${NOW} - interval '${FAILED_REPORT_DAYS} days'`,
  },
  'held-reading': {
    ...{ table: 'usage_readings', since: 'read_at', isDay: false },
    where: (u) => `${u}.status = 'held'`,
  },
  visit: {
    ...{ table: 'due_lines', since: 'visit_on', isDay: true },
    where: (l) => `${l}.visit_on <= ${DAY} and ${visitStands(l)}`,
  },
};

export interface MatterRow {
  vehicleId: string;
  rank: number;
  /** In microseconds, as text. */
  since: string;
  id: string;
}

const asInstant = ({ since, isDay }: Stretch, row: string): string =>
  `to_char(${isDay ? `${row}.${since}::timestamp` : `${row}.${since} at time zone 'UTC'`}, 'YYYY-MM-DD"T"HH24:MI:SS.US"Z"')`;

/** The columns of a `MatterRow`. */
const columnsOf = (kind: DecisionKind, stretch: Stretch, row: string): string =>
  `${row}.vehicle_id as "vehicleId", ${rankOf(kind)} as rank, ${asInstant(stretch, row)} as since, ${row}.id`;

/** True when the vehicle of a row has another matter: of a worse kind, or of the same and older. */
function isPlacedBefore(kind: DecisionKind, row: string): string {
  const ofVehicle = (other: Stretch): string =>
    `exists (select from ${other.table} o where o.fleet_id = $1 and o.vehicle_id = ${row}.vehicle_id and ${other.where('o')}`;
  const own = STRETCHES[kind];
  return [
    ...DECISION_KINDS.slice(0, rankOf(kind)).map((worse) => `${ofVehicle(STRETCHES[worse])})`),
    `${ofVehicle(own)} and (o.${own.since}, o.id) < (${row}.${own.since}, ${row}.id))`,
  ].join(' or ');
}

/**
 * The vehicles of a page, each by its worst matter. Each kind of matter is a range of an index, read
 * from where the page before ended, no further than the page needs. A vehicle is passed over where
 * another of its matters places it before.
 */
export function worstMatters(
  manager: EntityManager,
  fleetId: string,
  { asOf, now }: { asOf: string; now: Date },
  after: Keys<'rank' | 'since' | 'id'> | null,
  limit: number,
): Promise<MatterRow[]> {
  const values: unknown[] = [fleetId, asOf, now];
  const from = after === null ? 0 : Number(after.rank);
  const parts = DECISION_KINDS.slice(from).map((kind) => {
    const stretch = STRETCHES[kind];
    const start =
      after === null || rankOf(kind) > from
        ? ''
        : ` and (m.${stretch.since}, m.id) > (${placeIn(stretch, `$${values.push(after.since)}`)}, $${values.push(after.id)}::uuid)`;
    return `(select ${columnsOf(kind, stretch, 'm')} from ${stretch.table} m
      where m.fleet_id = $1${start} and ${stretch.where('m')} and not (${isPlacedBefore(kind, 'm')})
      order by m.${stretch.since}, m.id limit ${limit})`;
  });
  return manager.query<MatterRow[]>(
    `select * from (${parts.join(' union all ')}) p, (select ${DAY}, ${NOW}) as given order by rank, since, id limit ${limit}`,
    values,
  );
}

const placeIn = ({ isDay }: Stretch, parameter: string): string =>
  isDay ? `(${parameter}::timestamptz at time zone 'UTC')::date` : `${parameter}::timestamptz`;

/** More matters of a kind than are looked at for one vehicle. */
const MOST_OF_KIND = 20;

/** All matters of some vehicles, the oldest of each kind first. */
export function mattersOf(
  manager: EntityManager,
  fleetId: string,
  { asOf, now }: { asOf: string; now: Date },
  vehicleIds: readonly string[],
): Promise<MatterRow[]> {
  const parts = DECISION_KINDS.map((kind) => {
    const stretch = STRETCHES[kind];
    return `select x.* from unnest($4::uuid[]) v(id) cross join lateral (
      select ${columnsOf(kind, stretch, 'm')} from ${stretch.table} m
      where m.fleet_id = $1 and m.vehicle_id = v.id and ${stretch.where('m')}
      order by m.${stretch.since}, m.id limit ${MOST_OF_KIND}) x`;
  });
  return manager.query<MatterRow[]>(parts.join(' union all '), [fleetId, asOf, now, vehicleIds]);
}

/** More alerts about no vehicle than are listed. */
const MOST_OF_FLEET = 20;

/** The oldest alerts that are about no single vehicle, and that nobody acknowledged or shelved. */
export function alertsOfFleet(manager: EntityManager, fleetId: string, now: Date): Promise<LossAlertRow[]> {
  const filters = { status: 'raised', ofFleet: true, oldestFirst: true } as const;
  return lossAlertRows(manager, fleetId, now, filters, null, MOST_OF_FLEET);
}

export interface VehicleRow {
  id: string;
  unitNumber: string;
  depotId: string | null;
}

export function vehicleRows(
  manager: EntityManager,
  fleetId: string,
  ids: readonly string[],
): Promise<VehicleRow[]> {
  return manager.query<VehicleRow[]>(
    'select id, unit_number as "unitNumber", depot_id as "depotId" from vehicles where fleet_id = $1 and id = any($2::uuid[])',
    [fleetId, ids],
  );
}

/** A matter that is neither a due line nor an alert, with what is to be said of it. */
export interface OtherRow {
  id: string;
  /** The day of a report, in the fleet's zone. */
  on: string | null;
  /** What a defect is, as it was reported. */
  what: string | null;
  /** Why a reading is held. */
  detail: { code: string; values: Record<string, never> } | null;
}

/** Failed reports, undecided defects and held readings, by id. */
export function otherRows(
  manager: EntityManager,
  fleetId: string,
  timeZone: string,
  ids: readonly string[],
): Promise<OtherRow[]> {
  return manager.query<OtherRow[]>(
    `select j.id, (j.performed_at at time zone $3)::date::text as on, null as what, null::jsonb as detail from job_reports j where j.fleet_id = $1 and j.id = any($2::uuid[])
     union all select d.id, null, d.what, null from defects d where d.fleet_id = $1 and d.id = any($2::uuid[])
     union all select u.id, null, null, u.detail from usage_readings u where u.fleet_id = $1 and u.id = any($2::uuid[])`,
    [fleetId, ids, timeZone],
  );
}
