import type { Message } from '../../domain/message.js';
import { field, type FieldOptions, satisfies } from './field.js';
import { ListOf } from './lists.js';
import { message } from './messages.js';
import { shown } from './shown.js';

function numberFault(value: unknown, min: number, max: number, integer: boolean): Message | null {
  if (value === undefined || value === null) return message('field-required');
  if (typeof value !== 'number' || !Number.isFinite(value))
    return message('field-not-number', { given: shown(value) });
  if (integer && !Number.isInteger(value)) return message('field-not-whole', { given: String(value) });
  if (value < min || value > max) return message('field-out-of-range', { given: String(value), min, max });
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

/** A number in a query parameter. It is validated, but stays text. */
export function AmountText(options: FieldOptions & { min: number; max: number }): PropertyDecorator {
  return field(
    options,
    { type: 'number', minimum: options.min, maximum: options.max },
    satisfies('amountText', (value) =>
      typeof value === 'string' && /^\d{1,15}(\.\d{1,15})?$/.test(value)
        ? numberFault(Number(value), options.min, options.max, false)
        : message('field-not-number-text', { given: shown(value) }),
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
    ListOf(maxItems),
    satisfies('amounts', (value) => numberFault(value, min, max, integer), true),
  );
}
