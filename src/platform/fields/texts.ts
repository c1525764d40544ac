import { ArrayMaxSize, ArrayUnique, IsArray, IsUUID } from 'class-validator';
import { AtMost } from './at-most.js';
import { field, type FieldOptions, satisfies } from './field.js';
import { shown } from './shown.js';

/** Text of at least one character that is not blank. */
export function Text(options: FieldOptions & { max?: number; min?: number } = {}): PropertyDecorator {
  const { max = 200, min = 1 } = options;
  return field(
    options,
    { type: 'string', minLength: min, maxLength: max },
    satisfies('text', (value) => {
      if (value === undefined || value === null) return 'is required';
      if (typeof value !== 'string') return `is ${shown(value)}; text is needed`;
      if (value.length > max) return `is ${value.length} characters long; at most ${max} are kept`;
      if (value.trim().length < min) return 'is blank';
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
    IsArray({ message: 'is not a list' }),
    ArrayMaxSize(options.maxItems, { message: `holds more than ${options.maxItems} entries` }),
    AtMost(options.maxItems),
    satisfies(
      'texts',
      (value) =>
        typeof value === 'string' && value.trim() !== '' && value.length <= options.max
          ? null
          : `holds ${shown(value)}; text of 1 to ${options.max} characters is needed`,
      true,
    ),
  );
}

export function Identifier(options: FieldOptions = {}): PropertyDecorator {
  return field(options, { type: 'string', format: 'uuid' }, IsUUID('all', { message: 'is not a UUID' }));
}

export function Identifiers(options: FieldOptions & { maxItems?: number } = {}): PropertyDecorator {
  const maxItems = options.maxItems ?? 100;
  return field(
    options,
    { type: 'array', items: { type: 'string', format: 'uuid' }, maxItems },
    IsArray({ message: 'is not a list' }),
    ArrayMaxSize(maxItems, { message: `holds more than ${maxItems} ids` }),
    AtMost(maxItems),
    ArrayUnique({ message: 'names something twice' }),
    IsUUID('all', { each: true, message: 'holds something that is not a UUID' }),
  );
}
