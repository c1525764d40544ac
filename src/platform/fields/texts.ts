import { isUUID, IsUUID } from 'class-validator';
import type { Message } from '../../domain/message.js';
import { field, type FieldOptions, satisfies } from './field.js';
import { AtLeast, EachOnce, ListOf } from './lists.js';
import { message } from './messages.js';
import { shown } from './shown.js';
import { worded } from './wording.js';

/** Text of at least one character that is not blank. */
export function Text(options: FieldOptions & { max?: number; min?: number } = {}): PropertyDecorator {
  const { max = 200, min = 1 } = options;
  return field(
    options,
    { type: 'string', minLength: min, maxLength: max },
    satisfies('text', (value) => {
      if (value === undefined || value === null) return message('field-required');
      if (typeof value !== 'string') return message('field-not-text', { given: shown(value) });
      if (value.length > max) return message('field-too-long', { length: value.length, max });
      const { length } = value.trim();
      if (length < min)
        return length === 0 ? message('field-blank') : message('field-too-short', { length, min });
      return null;
    }),
  );
}

export function Texts(options: FieldOptions & { max: number; maxItems: number }): PropertyDecorator {
  return field(
    options,
    {
      type: 'array',
      items: { type: 'string', minLength: 1, maxLength: options.max },
      maxItems: options.maxItems,
    },
    ListOf(options.maxItems),
    satisfies(
      'texts',
      (value) =>
        typeof value === 'string' && value.trim() !== '' && value.length <= options.max
          ? null
          : message('field-holds-no-text', { given: shown(value), max: options.max }),
      true,
    ),
  );
}

function notId(value: unknown): Message {
  return value === undefined || value === null
    ? message('field-required')
    : message('field-not-id', { given: shown(value) });
}

function noIdIn(value: unknown): Message {
  const list = Array.isArray(value) ? (value as unknown[]) : [];
  return message('field-holds-no-id', { given: shown(list.find((entry) => !isUUID(entry, 'all'))) });
}

export function Identifier(options: FieldOptions = {}): PropertyDecorator {
  return field(options, { type: 'string', format: 'uuid' }, IsUUID('all', worded(notId)));
}

export function Identifiers(
  options: FieldOptions & { min?: number; maxItems?: number } = {},
): PropertyDecorator {
  const { min = 0, maxItems = 100 } = options;
  return field(
    options,
    {
      ...{ type: 'array', items: { type: 'string', format: 'uuid' }, maxItems },
      ...(min > 0 && { minItems: min }),
    },
    ListOf(maxItems),
    AtLeast(min),
    EachOnce(),
    IsUUID('all', { each: true, ...worded(noIdIn) }),
  );
}

/** Several ids in one query parameter, separated by commas. It stays text. */
export function IdentifierList(options: FieldOptions & { maxItems: number }): PropertyDecorator {
  const { maxItems } = options;
  return field(
    options,
    { type: 'string' },
    satisfies('identifierList', (value) => {
      if (typeof value !== 'string') return message('field-not-text', { given: shown(value) });
      const ids = value.split(',');
      if (ids.length > maxItems) return message('field-list-too-long', { max: maxItems });
      const other = ids.find((id) => !isUUID(id));
      return other === undefined ? null : message('field-holds-no-id', { given: shown(other) });
    }),
  );
}
