import type { MeasureKind } from '../quantities/measures.js';

/** What a spreadsheet can bring: vehicles, counters, or work done before records began. */
export const SHEET_KINDS = ['vehicles', 'usage-readings', 'job-reports'] as const;
export type SheetKind = (typeof SHEET_KINDS)[number];

/** How the cells of a field are read. A name is that of another record, such as a depot. */
export type Holds = 'text' | 'name' | 'word' | 'number' | 'date' | 'instant';

/** A field that a column can be. */
export interface SheetField {
  name: FieldName;
  holds: Holds;
  /** Set for a measurement, which has a unit. */
  measure?: MeasureKind;
}

const field = <const N extends string>(name: N, holds: Holds = 'text', measure?: MeasureKind) => ({
  name,
  holds,
  ...(measure === undefined ? {} : { measure }),
});

const VEHICLES = [
  field('unitNumber'),
  field('depot', 'name'),
  field('specSheet', 'name'),
  field('intervalPlan', 'name'),
  field('duty', 'word'),
  field('status', 'word'),
  field('vin'),
  field('serialNumber'),
  field('make'),
  field('model'),
  field('modelYear', 'number'),
  field('mountedOn'),
  field('inUseMonths'),
  field('inServiceOn', 'date'),
  field('inServiceOdometer', 'number', 'distance'),
  field('inServiceEngineHours', 'number', 'engine-hours'),
  field('expectedDailyDistance', 'number', 'distance'),
  field('expectedDailyEngineHours', 'number', 'engine-hours'),
  field('designLowTemperature', 'number', 'temperature'),
] as const;

const USAGE = [
  field('unitNumber'),
  field('readAt', 'instant'),
  field('odometer', 'number', 'distance'),
  field('engineHours', 'number', 'engine-hours'),
  field('odometerReplaced', 'word'),
  field('engineHoursReplaced', 'word'),
  field('source', 'word'),
] as const;

const PAST_WORK = [
  field('unit'),
  field('component', 'word'),
  field('item'),
  field('action', 'word'),
  field('circuit', 'word'),
  field('date', 'date'),
  field('odometer', 'number', 'distance'),
  field('hours', 'number', 'engine-hours'),
] as const;

export type FieldName =
  (typeof VEHICLES)[number]['name'] | (typeof USAGE)[number]['name'] | (typeof PAST_WORK)[number]['name'];

/** The fields of each kind, in the order in which people look for them. */
export const FIELDS: Readonly<Record<SheetKind, readonly SheetField[]>> = {
  vehicles: VEHICLES,
  'usage-readings': USAGE,
  'job-reports': PAST_WORK,
};

/** Of each group, one field is needed at least. */
export const NEEDED: Readonly<Record<SheetKind, readonly (readonly FieldName[])[]>> = {
  vehicles: [['unitNumber']],
  'usage-readings': [['unitNumber'], ['readAt'], ['odometer', 'engineHours']],
  'job-reports': [['unit'], ['component'], ['action'], ['date']],
};

/** The field that says which vehicle a row is about. */
export const UNIT_FIELD = {
  vehicles: 'unitNumber',
  'usage-readings': 'unitNumber',
  'job-reports': 'unit',
} as const satisfies Record<SheetKind, FieldName>;

/** A field of a kind; null when the kind has no such field. */
export function fieldOf(kind: SheetKind, name: string): SheetField | null {
  return FIELDS[kind].find((each) => each.name === name) ?? null;
}
