import { ValidateBy } from 'class-validator';
import { inUnit, unitsTaken } from '../../domain/quantities/given.js';
import { canonical, inSystem, type MeasureKind } from '../../domain/quantities/measures.js';
import { isUnit, type Unit } from '../../domain/quantities/units.js';
import { field, type FieldOptions, satisfies } from './field.js';
import { shown } from './shown.js';

/**
 * Least and greatest value of each measure that the service takes, in its canonical unit: generous,
 * and finite.
 */
const LIMITS: Record<MeasureKind, { min: number; max: number }> = {
  distance: { min: 0, max: 10_000_000 },
  elevation: { min: -450, max: 6000 },
  size: { min: 0, max: 100_000 },
  'engine-hours': { min: 0, max: 1_000_000 },
  vacuum: { min: 0, max: 1000 },
  pressure: { min: 0, max: 2000 },
  temperature: { min: -100, max: 300 },
  volume: { min: 0, max: 2000 },
  torque: { min: 0, max: 5000 },
};

export interface QuantityLimits {
  min?: number;
  max?: number;
}

/**
 * Why a value is not a quantity of the measure; null when it is one.
 *
 * @param limits least and greatest value in the measure's canonical unit, where they differ from
 * the usual ones
 */
export function quantityFault(value: unknown, kind: MeasureKind, limits: QuantityLimits = {}): string | null {
  const accepted = unitsTaken(kind);
  if (value === undefined || value === null) return 'is required';
  if (typeof value !== 'object' || Array.isArray(value))
    return `is ${shown(value)}; an amount with its unit is needed, such as {"value": 1, "unit": "${accepted[0]}"}`;
  const extra = Object.keys(value).find((key) => key !== 'value' && key !== 'unit');
  if (extra !== undefined) return `has a field "${extra.slice(0, 40)}"; only value and unit belong here`;
  const { value: amount, unit } = value as { value?: unknown; unit?: unknown };
  if (unit === undefined) return `lacks its unit; accepted are ${accepted.join(', ')}`;
  if (!isUnit(unit) || !accepted.includes(unit))
    return `has the unit ${shown(unit)}; accepted here are ${accepted.join(', ')}`;
  if (typeof amount !== 'number' || !Number.isFinite(amount))
    return `has the value ${shown(amount)}; a number is needed`;
  const inCanonical = canonical(kind, { value: amount, unit });
  const { min, max } = { ...LIMITS[kind], ...limits };
  if (inCanonical < min - 1e-9 || inCanonical > max + 1e-9) {
    const show = (limit: number): string => `${Number(inUnit(kind, limit, unit).toPrecision(6))} ${unit}`;
    return `is ${amount} ${unit}; it must be from ${show(min)} to ${show(max)}`;
  }
  return null;
}

/** A value with its unit; any unit of the right dimension is taken. */
export function QuantityOf(
  kind: MeasureKind,
  options: FieldOptions & QuantityLimits = {},
): PropertyDecorator {
  const example = inSystem(kind, 10, 'si');
  return field(
    options,
    {
      type: 'object',
      properties: {
        value: { type: 'number' },
        unit: { type: 'string', enum: unitsTaken(kind) },
      },
      required: ['value', 'unit'],
      additionalProperties: false,
      example: options.example ?? example,
    },
    satisfies('quantity', (value) => quantityFault(value, kind, options)),
  );
}

/** A value with its unit where another field of the same object decides which units are taken. */
export function QuantityByChoice<T extends object>(
  unitsFor: (object: T) => readonly Unit[],
  every: readonly Unit[],
  options: FieldOptions = {},
): PropertyDecorator {
  const fault = (value: unknown, object: T): string | null => {
    if (value === undefined || value === null) return 'is required';
    const accepted = unitsFor(object);
    const { value: amount, unit, ...rest } = value as { value?: unknown; unit?: unknown };
    if (typeof value !== 'object' || Array.isArray(value) || Object.keys(rest).length > 0)
      return `is ${shown(value)}; an amount with its unit and no more is needed, such as {"value": 1, "unit": "${accepted[0]}"}`;
    if (!isUnit(unit) || !accepted.includes(unit))
      return `has the unit ${shown(unit)}; accepted here are ${accepted.join(', ')}`;
    if (typeof amount !== 'number' || !Number.isFinite(amount))
      return `has the value ${shown(amount)}; a number is needed`;
    return null;
  };
  return field(
    options,
    {
      type: 'object',
      properties: { value: { type: 'number' }, unit: { type: 'string', enum: [...every] } },
      required: ['value', 'unit'],
      additionalProperties: false,
    },
    ValidateBy({
      name: 'quantityByChoice',
      validator: {
        validate: (value: unknown, args) => fault(value, args?.object as T) === null,
        defaultMessage: (args) => fault(args?.value, args?.object as T) ?? 'is not acceptable',
      },
    }),
  );
}
