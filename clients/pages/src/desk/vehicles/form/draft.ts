import type { UnitSystem } from '../../../../../../src/domain/quantities/measures.js';
import type { components } from '../../../../../typescript/src/client.js';
import type { Vehicle } from '../types.js';

export type VehicleInput = components['schemas']['VehicleInput'];
export type Field = keyof VehicleInput;
/** What a form holds: text for each field, empty where nothing is given. Months by comma. */
export type Draft = Readonly<Record<Field, string>>;

type Measured = 'distance' | 'hours' | 'temperature';

const UNITS = {
  us: { distance: 'mi', hours: 'h', temperature: 'F' },
  si: { distance: 'km', hours: 'h', temperature: 'C' },
} as const satisfies Record<UnitSystem, Record<Measured, string>>;

const MEASURED = {
  inServiceOdometer: 'distance',
  inServiceEngineHours: 'hours',
  expectedDailyDistance: 'distance',
  expectedDailyEngineHours: 'hours',
  designLowTemperature: 'temperature',
} as const satisfies Partial<Record<Field, Measured>>;

export type MeasuredField = keyof typeof MEASURED;

const isMeasured = (field: Field): field is MeasuredField => field in MEASURED;

/** The unit in which a field is typed, which is that in which the service shows it. */
export const unitOf = (field: MeasuredField, units: UnitSystem) => UNITS[units][MEASURED[field]];

export const EMPTY: Draft = {
  ...{ unitNumber: '', depotId: '', specSheetId: '', intervalPlanId: '', duty: 'normal', status: 'in-use' },
  ...{ vin: '', serialNumber: '', make: '', model: '', modelYear: '', mountedOn: '', inUseMonths: '' },
  ...{ inServiceOn: '', inServiceOdometer: '', inServiceEngineHours: '' },
  ...{ expectedDailyDistance: '', expectedDailyEngineHours: '', designLowTemperature: '' },
};

export const FIELDS = Object.keys(EMPTY) as Field[];

function textOf(value: Vehicle[Field]): string {
  if (value === null || value === undefined) return '';
  if (Array.isArray(value)) return value.join();
  return typeof value === 'object' ? String(value.value ?? '') : String(value);
}

/** What a form shows of a vehicle. */
export const draftOf = (vehicle: Vehicle): Draft =>
  Object.fromEntries(FIELDS.map((field) => [field, textOf(vehicle[field])])) as Draft;

const changedFields = (before: Draft, after: Draft): Field[] =>
  FIELDS.filter((field) => before[field] !== after[field]);

/** As a number where it is one; else as typed, so that the service says what is wrong with it. */
const numberOf = (typed: string): number => {
  const value = Number(typed.replace(',', '.'));
  return Number.isNaN(value) ? (typed as unknown as number) : value;
};

function valueOf(field: Field, typed: string, units: UnitSystem): unknown {
  if (typed === '') return null;
  if (isMeasured(field)) return { value: numberOf(typed), unit: unitOf(field, units) };
  if (field === 'modelYear') return numberOf(typed);
  return field === 'inUseMonths' ? typed.split(',').map(Number) : typed;
}

/** What of a draft differs, as the service takes it. */
export function changesOf(before: Draft, after: Draft, units: UnitSystem): Partial<VehicleInput> {
  const changes = changedFields(before, after).map((field) => [
    field,
    valueOf(field, after[field].trim(), units),
  ]);
  return Object.fromEntries(changes) as Partial<VehicleInput>;
}

/** What somebody typed, on top of what somebody else has changed meanwhile. */
export function onTopOf(now: Draft, before: Draft, typed: Draft): { draft: Draft; changed: Field[] } {
  const mine = new Set(changedFields(before, typed));
  const merged = FIELDS.map((field) => [field, mine.has(field) ? typed[field] : now[field]]);
  return { draft: Object.fromEntries(merged) as Draft, changed: changedFields(before, now) };
}
