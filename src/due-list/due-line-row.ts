import type { StoredDueDates } from '../domain/conclusions/stored-line.js';
import type { Trigger } from '../domain/intervals/types.js';
import { columnOf } from '../platform/database/snake-naming.js';
import { visitStands } from './visit-stands.sql.js';

/** A row of `due_lines` beside its vehicle's usage summary, as `DUE_LINE_COLUMNS` reads it. */
export interface DueLineRow extends StoredDueDates {
  id: string;
  vehicleId: string;
  unitNumber: string;
  depotId: string | null;
  component: string;
  action: string;
  item: string | null;
  origin: 'interval' | 'follow-up';
  earliestOn: string | null;
  latestOn: string | null;
  trigger: Trigger | null;
  dueOdometerLifetimeKm: number | null;
  dueEngineHoursLifetime: number | null;
  dueDate: string | null;
  lastDoneOn: string | null;
  lastDoneOdometerLifetimeKm: number | null;
  lastDoneEngineHoursLifetime: number | null;
  lastDoneReportId: string | null;
  staleOn: string | null;
  needsReading: boolean;
  postponedUntil: string | null;
  isAtOnce: boolean;
  /** Why a follow-up was opened, in words. */
  cause: string | null;
  isReleased: boolean;
  /** Null where none stands. */
  visitId: string | null;
  visitOn: string | null;
  /** Epoch milliseconds. */
  odometerReadAt: number | null;
  odometerLifetimeKm: number | null;
  odometerOffsetKm: number | null;
  /** A day in use; null where the rate is not known. */
  kmPerDay: number | null;
  /** Epoch milliseconds. */
  engineHoursReadAt: number | null;
  engineHoursLifetime: number | null;
  engineHoursOffset: number | null;
  /** A day in use; null where the rate is not known. */
  hoursPerDay: number | null;
  /** Of a vehicle that is used in some months only. */
  inUseMonths: number[] | null;
}

/** What is read of a line, in the order of the columns. */
export const DUE_LINE_FIELDS = [
  'id',
  'vehicleId',
  'unitNumber',
  'depotId',
  'component',
  'action',
  'item',
  'origin',
  'noBaseline',
  'windowOpensOn',
  'dueOn',
  'lateOn',
  'lateLapsesOn',
  'lateForGoodOn',
  'earliestOn',
  'latestOn',
  'trigger',
  'dueOdometerLifetimeKm',
  'dueEngineHoursLifetime',
  'dueDate',
  'lastDoneOn',
  'lastDoneOdometerLifetimeKm',
  'lastDoneEngineHoursLifetime',
  'lastDoneReportId',
  'staleOn',
  'needsReading',
  'postponedUntil',
  'isAtOnce',
  'cause',
  'isReleased',
  'visitId',
  'visitOn',
  'odometerReadAt',
  'odometerLifetimeKm',
  'odometerOffsetKm',
  'kmPerDay',
  'engineHoursReadAt',
  'engineHoursLifetime',
  'engineHoursOffset',
  'hoursPerDay',
  'inUseMonths',
] as const satisfies (keyof DueLineRow)[];

type Field = (typeof DUE_LINE_FIELDS)[number];
type ValuesOf<Fields extends readonly Field[]> = { [Index in keyof Fields]: DueLineRow[Fields[Index]] };
/** The values of one row of `DUE_LINE_COLUMNS`. */
export type DueLineValues = ValuesOf<typeof DUE_LINE_FIELDS>;

/** What is not read as it is stored. Numbers are read quicker than the instants and documents they are taken from. */
const EXPRESSIONS: Partial<Record<Field, string>> = {
  isReleased: 'l.released_with is not null',
  visitId: `case when ${visitStands()} then l.visit_id end`,
  odometerReadAt: '(extract(epoch from u.odometer_read_at) * 1000)::float8',
  odometerLifetimeKm: 'u.odometer_lifetime_km',
  odometerOffsetKm: 'u.odometer_offset_km',
  kmPerDay: `(u.distance_rate->>'perDay')::float8`,
  engineHoursReadAt: '(extract(epoch from u.engine_hours_read_at) * 1000)::float8',
  engineHoursLifetime: 'u.engine_hours_lifetime',
  engineHoursOffset: 'u.engine_hours_offset',
  hoursPerDay: `(u.engine_hours_rate->>'perDay')::float8`,
  inUseMonths: `nullif(coalesce(u.distance_rate, u.engine_hours_rate)->'inUseMonths', 'null')`,
};

/** The columns of a `DueLineRow`, for a query over `due_lines l left join usage_summaries u`. */
export const DUE_LINE_COLUMNS = DUE_LINE_FIELDS.map(
  (field) => `${EXPRESSIONS[field] ?? `l.${columnOf(field)}`} as "${field}"`,
).join(', ');

/** The row that values of `DUE_LINE_COLUMNS` are. By name, not in a loop: an object that is written out at once is made at once. */
export function dueLineRowOf(values: DueLineValues): DueLineRow {
  const [
    id,
    vehicleId,
    unitNumber,
    depotId,
    component,
    action,
    item,
    origin,
    noBaseline,
    windowOpensOn,
    dueOn,
    lateOn,
    lateLapsesOn,
    lateForGoodOn,
    earliestOn,
    latestOn,
    trigger,
    dueOdometerLifetimeKm,
    dueEngineHoursLifetime,
    dueDate,
    lastDoneOn,
    lastDoneOdometerLifetimeKm,
    lastDoneEngineHoursLifetime,
    lastDoneReportId,
    staleOn,
    needsReading,
    postponedUntil,
    isAtOnce,
    cause,
    isReleased,
    visitId,
    visitOn,
    odometerReadAt,
    odometerLifetimeKm,
    odometerOffsetKm,
    kmPerDay,
    engineHoursReadAt,
    engineHoursLifetime,
    engineHoursOffset,
    hoursPerDay,
    inUseMonths,
  ] = values;
  return {
    id,
    vehicleId,
    unitNumber,
    depotId,
    component,
    action,
    item,
    origin,
    noBaseline,
    windowOpensOn,
    dueOn,
    lateOn,
    lateLapsesOn,
    lateForGoodOn,
    earliestOn,
    latestOn,
    trigger,
    dueOdometerLifetimeKm,
    dueEngineHoursLifetime,
    dueDate,
    lastDoneOn,
    lastDoneOdometerLifetimeKm,
    lastDoneEngineHoursLifetime,
    lastDoneReportId,
    staleOn,
    needsReading,
    postponedUntil,
    isAtOnce,
    cause,
    isReleased,
    visitId,
    visitOn,
    odometerReadAt,
    odometerLifetimeKm,
    odometerOffsetKm,
    kmPerDay,
    engineHoursReadAt,
    engineHoursLifetime,
    engineHoursOffset,
    hoursPerDay,
    inUseMonths,
  };
}

/** The join that `DUE_LINE_COLUMNS` needs. */
export const USAGE_JOIN =
  'left join usage_summaries u on u.fleet_id = l.fleet_id and u.vehicle_id = l.vehicle_id';
