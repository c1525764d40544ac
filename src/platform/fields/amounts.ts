import { ArrayMaxSize, IsArray } from 'class-validator';
import { AtMost } from './at-most.js';
import { field, type FieldOptions, satisfies } from './field.js';
import { shown } from './shown.js';

function numberFault(value: unknown, min: number, max: number, integer: boolean): string | null {
  if (value === undefined || value === null) return 'is required';
  if (typeof value !== 'number' || !Number.isFinite(value)) return `is ${shown(value)}; a number is needed`;
  if (integer && !Number.isInteger(value)) return `is ${value}; a whole number is needed`;
  if (value < min || value > max) return `is ${value}; it must be from ${min} to ${max}`;
  return null;
}

export function Amount(
  options: FieldOptions & { min: number; max: number; integer?: boolean },
): PropertyDecorator {
  return field(
    options,
    { type: options.integer ? 'integer' : 'number', minimum: options.min, maximum: options.max },
    satisfies('amount', (value) => numberFault(value, options.min, options.max, options.integer ?? false)),
  );
}

/** A number in a query parameter; it stays text. */
export function AmountText(options: FieldOptions & { min: number; max: number }): PropertyDecorator {
  return field(
    options,
    { type: 'number', minimum: options.min, maximum: options.max },
    satisfies('amountText', (value) =>
      typeof value === 'string' && /^\d{1,15}(\.\d{1,15})?$/.test(value)
        ? numberFault(Number(value), options.min, options.max, false)
        : `is ${shown(value)}; a number such as 120 or 99.50 is needed`,
    ),
  );
}

export function Amounts(
  options: FieldOptions & { min: number; max: number; maxItems: number; integer?: boolean },
): PropertyDecorator {
  const { min, max, maxItems, integer = false } = options;
  return field(
    options,
    { type: 'array', items: { type: integer ? 'integer' : 'number', minimum: min, maximum: max }, maxItems },
    IsArray({ message: 'is not a list' }),
    ArrayMaxSize(maxItems, { message: `holds more than ${maxItems} values` }),
    AtMost(maxItems),
    satisfies('amounts', (value) => numberFault(value, min, max, integer), true),
  );
}
