import { canonical } from '../../../../../src/domain/quantities/measures.js';
import {
  dimensionOf,
  isUnit,
  type Quantity,
  type Unit,
  unitsOf,
  valueIn,
} from '../../../../../src/domain/quantities/units.js';
import type { Reading, ReadingKind } from '../../../../../src/domain/readings/kinds.js';
import { numberReadings } from '../../../../../src/domain/spreadsheets/numbers.js';
import {
  FREEZE_POINT_METHODS,
  FREEZE_POINT_UNITS,
} from '../../../../../src/domain/strength/freeze-point-value.js';
import type { CircuitName } from '../../../../../src/domain/vehicles/circuits.js';
import { type Field, KIND_FORMS } from './kind-forms.js';

/** A reading as it is being typed: every value is the text of its field. */
export interface TypedReading {
  /** Its identity on the screen. */
  key: string;
  kind: ReadingKind;
  circuit?: CircuitName;
  /** What is known before anything is typed: the fastener group, the belt. */
  given: Readonly<Record<string, string>>;
  /** How many fasteners the group has. */
  count?: number;
  values: Readonly<Record<string, string>>;
  units: Readonly<Record<string, Unit>>;
}

/** A reading as the service takes it. */
export type PostedReading = { kind: ReadingKind } & Record<string, unknown>;

/** The names under which a set of torques is typed. */
export const TORQUES = { setTo: 'setTo', count: 'count', one: (index: number) => `torque-${index}` };

/**
 * A typed number, with a point or a comma before its decimals; null where it is none, or where it
 * could be two numbers.
 */
export function numberTyped(text: string | undefined): number | null {
  const { point, comma } = numberReadings(text ?? '');
  if (point !== null && comma !== null && point !== comma) return null;
  return point ?? comma;
}

/** The units in which a field can be typed. */
export function unitsFor(field: Field, reading: TypedReading): readonly Unit[] {
  if (field.is === 'quantity' || field.is === 'torques') return field.units;
  if (field.is !== 'strength') return [];
  const method = FREEZE_POINT_METHODS.find((known) => known === reading.values['method']);
  if (method === undefined) return [];
  const units = unitsOf(dimensionOf(FREEZE_POINT_UNITS[method]));
  return units.includes('F') ? ['F', 'C'] : units;
}

const quantityOf = (reading: TypedReading, field: Field): Quantity | null => {
  const value = numberTyped(reading.values[field.name]);
  const units = unitsFor(field, reading);
  const unit = reading.units[field.name];
  if (value === null) return null;
  const chosen = unit !== undefined && units.includes(unit) ? unit : units[0];
  return chosen === undefined ? null : { value, unit: chosen };
};

function torquesTyped(reading: TypedReading, field: Field): Record<string, unknown> | null {
  const unit = reading.units[field.name] ?? unitsFor(field, reading)[0];
  const each = Array.from({ length: reading.count ?? 0 }, (_none, index) =>
    numberTyped(reading.values[TORQUES.one(index)]),
  ).filter((torque) => torque !== null);
  if (each.length > 0) return { unit, values: each };
  const setTo = numberTyped(reading.values[TORQUES.setTo]);
  const count = numberTyped(reading.values[TORQUES.count]);
  return setTo === null || count === null ? null : { unit, setTo, count };
}

function valueOf(reading: TypedReading, field: Field): unknown {
  const text = reading.values[field.name] ?? '';
  switch (field.is) {
    case 'quantity':
    case 'strength':
      return quantityOf(reading, field);
    case 'number':
      return numberTyped(text);
    case 'flag':
      return text === '' ? null : text === 'yes';
    case 'choice':
      return text === '' ? null : text;
    case 'torques':
      return torquesTyped(reading, field);
  }
}

/** What may be filled in before anybody typed. */
const FILLED_IN: ReadonlySet<string> = new Set(['method', TORQUES.count]);

/** Whether anything was typed into a reading. */
export const isTouched = ({ values }: TypedReading): boolean =>
  Object.entries(values).some(([name, text]) => !FILLED_IN.has(name) && text.trim() !== '');

/** The fields without which a reading says nothing yet. */
export function missingIn(reading: TypedReading): string[] {
  return KIND_FORMS[reading.kind].fields
    .filter((field) => field.isRequired && valueOf(reading, field) === null)
    .map(({ name }) => name);
}

/** Fields with a text that is no number, or that could be two. */
export function unreadableIn({ kind, values }: TypedReading): string[] {
  const numeric = KIND_FORMS[kind].fields.flatMap(({ is, name }) =>
    is === 'number' || is === 'quantity' || is === 'strength' ? [name] : [],
  );
  const torques = Object.keys(values).filter((name) => /^(torque-\d+|setTo|count)$/.test(name));
  return [...numeric, ...torques].filter(
    (name) => (values[name] ?? '').trim() !== '' && numberTyped(values[name]) === null,
  );
}

/** The reading as it is sent: what was left empty is left out. */
export function postedOf(reading: TypedReading): PostedReading {
  const posted: PostedReading = { kind: reading.kind, ...reading.given };
  if (reading.circuit !== undefined) posted['circuit'] = reading.circuit;
  for (const field of KIND_FORMS[reading.kind].fields) {
    const value = valueOf(reading, field);
    if (value === null) continue;
    if (field.is === 'torques') Object.assign(posted, value);
    else posted[field.name] = value;
  }
  return posted;
}

const isQuantity = (value: unknown): value is Quantity =>
  typeof value === 'object' && value !== null && 'unit' in value && isUnit(value.unit);

/** A posted reading in the units that the rules compute with. */
export function canonicalReading(posted: PostedReading): Reading {
  const { fields, wordedBy, otherwise } = KIND_FORMS[posted.kind];
  const { circuit: _circuit, ...rest } = posted;
  const reading: Record<string, unknown> = { ...rest };
  for (const field of fields) {
    const value = posted[field.name] ?? null;
    if (field.is === 'torques') Object.assign(reading, canonicalTorques(posted));
    else if (field.is === 'quantity') {
      delete reading[field.name];
      reading[field.as] = isQuantity(value) ? canonical(field.measure, value) : null;
    } else if (field.is === 'strength') {
      const method = FREEZE_POINT_METHODS.find((known) => known === posted['method']);
      if (method && isQuantity(value)) reading[field.name] = valueIn(value, FREEZE_POINT_UNITS[method]);
    } else reading[field.name] = value;
  }
  for (const [name, from] of Object.entries(wordedBy)) {
    const worded = from.map((source) => posted[source]).find((value) => isQuantity(value));
    const unit = worded?.unit ?? otherwise;
    if (unit !== undefined) reading[name] = unit;
  }
  return reading as unknown as Reading;
}

function canonicalTorques({ unit, values, setTo, count }: PostedReading): Record<string, unknown> {
  const torque = (value: unknown) => canonical('torque', { value: Number(value), unit: unit as Unit });
  return {
    unit,
    values: undefined,
    setTo: undefined,
    valuesNm: Array.isArray(values) ? values.map(torque) : null,
    setToNm: setTo == null ? null : torque(setTo),
    count: count ?? null,
  };
}
