import type { StoredDueDates } from '../../domain/conclusions/stored-line.js';
import type { Message } from '../../domain/message.js';
import type { CircuitName } from '../../domain/vehicles/circuits.js';
import type { Trigger } from '../../domain/intervals/types.js';
import { columnOf } from '../../platform/database/snake-naming.js';
import { visitStands } from './visit-stands.sql.js';
import { arrayRows } from '../../platform/database/array-row.js';

/** The SQL of a column, with the type of its values. */
interface Column<T> {
  /** Null: the column of `due_lines` that has the same name as the field. */
  sql: string | null;
  /** Used by the compiler only. There is no such value at run time. */
  type: T;
}

const column = <T>(sql: string | null = null): Column<T> => ({ sql }) as Column<T>;
const text = column<string>();
const optionalText = column<string | null>();
const optionalNumber = column<number | null>();
const flag = column<boolean>();

/** An instant as a number: a number is faster to read than the text of an instant or a document. */
const epochMs = (instant: string): Column<number | null> =>
  column(`(extract(epoch from ${instant}) * 1000)::float8`);
/** Usage per day in use. Null while the rate is not known. */
const perDay = (rate: string): Column<number | null> => column(`(${rate}->>'perDay')::float8`);

/** What is read of a due line `l` and its vehicle's usage summary `u`, in this order. */
const COLUMNS = {
  id: text,
  vehicleId: text,
  unitNumber: text,
  depotId: optionalText,
  component: text,
  action: text,
  item: optionalText,
  namedCircuit: column<CircuitName | null>(),
  origin: column<'interval' | 'follow-up'>(),
  noBaseline: flag,
  windowOpensOn: text,
  dueOn: text,
  lateOn: text,
  lateLapsesOn: optionalText,
  lateForGoodOn: optionalText,
  earliestOn: optionalText,
  latestOn: optionalText,
  trigger: column<Trigger | null>(),
  dueOdometerLifetimeKm: optionalNumber,
  dueEngineHoursLifetime: optionalNumber,
  dueDate: optionalText,
  lastDoneOn: optionalText,
  lastDoneOdometerLifetimeKm: optionalNumber,
  lastDoneEngineHoursLifetime: optionalNumber,
  lastDoneReportId: optionalText,
  staleOn: optionalText,
  needsReading: flag,
  postponedUntil: optionalText,
  isAtOnce: flag,
  isStarter: flag,
  /** Why a follow-up was opened, the worst first. */
  causes: column<Message[] | null>(),
  isReleased: column<boolean>('l.released_with is not null'),
  /** Null when no visit is planned, or the planned visit no longer applies. */
  visitId: column<string | null>(`case when ${visitStands()} then l.visit_id end`),
  visitOn: optionalText,
  visitAssignee: optionalText,
  odometerReadAt: epochMs('u.odometer_read_at'),
  odometerLifetimeKm: column<number | null>('u.odometer_lifetime_km'),
  odometerOffsetKm: column<number | null>('u.odometer_offset_km'),
  kmPerDay: perDay('u.distance_rate'),
  engineHoursReadAt: epochMs('u.engine_hours_read_at'),
  engineHoursLifetime: column<number | null>('u.engine_hours_lifetime'),
  engineHoursOffset: column<number | null>('u.engine_hours_offset'),
  hoursPerDay: perDay('u.engine_hours_rate'),
  /** For a vehicle that is used in some months only. */
  inUseMonths: column<number[] | null>(
    `nullif(coalesce(u.distance_rate, u.engine_hours_rate)->'inUseMonths', 'null')`,
  ),
};

/** A row of `due_lines` with its vehicle's usage summary, as `DUE_LINE_COLUMNS` reads it. */
export type DueLineRow = StoredDueDates & {
  [Field in keyof typeof COLUMNS]: (typeof COLUMNS)[Field]['type'];
};

export const DUE_LINE_FIELDS = Object.keys(COLUMNS) as (keyof DueLineRow)[];

/** The columns of a `DueLineRow`, for a query over `due_lines l left join usage_summaries u`. */
export const DUE_LINE_COLUMNS = DUE_LINE_FIELDS.map(
  (field) => `${COLUMNS[field].sql ?? `l.${columnOf(field)}`} as "${field}"`,
).join(', ');

/** Turns the values of `DUE_LINE_COLUMNS` into a row. */
export const dueLineRowOf = arrayRows<DueLineRow>(DUE_LINE_FIELDS);

/** The join that `DUE_LINE_COLUMNS` needs. */
export const USAGE_JOIN =
  'left join usage_summaries u on u.fleet_id = l.fleet_id and u.vehicle_id = l.vehicle_id';
