import type { Message } from '../../domain/message.js';
import { unitsTaken } from '../../domain/quantities/given.js';
import { inSystem, type MeasureKind } from '../../domain/quantities/measures.js';
import type { Unit } from '../../domain/quantities/units.js';
import { field, type FieldOptions, satisfies } from './field.js';
import { message } from './messages.js';
import { type Loose, notQuantity, partFault, quantityFault, type QuantityLimits } from './quantity-fault.js';

/** A value with its unit. Every unit of the measure is accepted. */
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

/**
 * A value with its unit, when another field of the same object decides which units are accepted.
 */
export function QuantityByChoice<T extends object>(
  unitsFor: (object: T) => readonly Unit[],
  every: readonly Unit[],
  options: FieldOptions = {},
): PropertyDecorator {
  const fault = (value: unknown, object: object): Message | null => {
    if (value === undefined || value === null) return message('field-required');
    const accepted = unitsFor(object as T);
    const { value: amount, unit, ...rest } = value as Loose;
    if (typeof value !== 'object' || Array.isArray(value) || Object.keys(rest).length > 0)
      return notQuantity(value, accepted);
    return partFault({ value: amount, unit }, accepted);
  };
  return field(
    options,
    {
      type: 'object',
      properties: { value: { type: 'number' }, unit: { type: 'string', enum: [...every] } },
      required: ['value', 'unit'],
      additionalProperties: false,
    },
    satisfies('quantityByChoice', fault),
  );
}
