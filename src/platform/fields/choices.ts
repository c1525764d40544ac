import { ArrayMaxSize, ArrayMinSize, ArrayUnique, IsArray, IsIn } from 'class-validator';
import { AtMost } from './at-most.js';
import { field, type FieldOptions, satisfies } from './field.js';
import { shown } from './shown.js';

export function Choice(values: readonly string[], options: FieldOptions = {}): PropertyDecorator {
  return field(
    options,
    { type: 'string', enum: [...values] },
    satisfies('choice', (value) => {
      if (value === undefined || value === null) return `is required: one of ${values.join(', ')}`;
      return values.includes(value as string)
        ? null
        : `is ${shown(value)}; one of ${values.join(', ')} is needed`;
    }),
  );
}

export function Choices(
  values: readonly string[],
  options: FieldOptions & { min?: number } = {},
): PropertyDecorator {
  return field(
    options,
    {
      type: 'array',
      items: { type: 'string', enum: [...values] },
      minItems: options.min ?? 0,
      maxItems: values.length,
    },
    IsArray({ message: 'is not a list' }),
    ArrayMinSize(options.min ?? 0, { message: `needs at least ${options.min ?? 0} of ${values.join(', ')}` }),
    ArrayMaxSize(values.length, { message: 'is too long a list' }),
    AtMost(values.length),
    ArrayUnique({ message: 'names something twice' }),
    IsIn([...values], { each: true, message: `may only hold ${values.join(', ')}` }),
  );
}

/** Several choices in one query parameter, with commas between them; it stays text. */
export function ChoiceList(values: readonly string[], options: FieldOptions = {}): PropertyDecorator {
  return field(
    options,
    { type: 'string', example: values.slice(0, 2).join(',') },
    satisfies('choiceList', (value) => {
      if (typeof value !== 'string') return `is ${shown(value)}; some of ${values.join(', ')} are needed`;
      const unknown = value.split(',').find((choice) => !values.includes(choice));
      return unknown === undefined
        ? null
        : `holds ${shown(unknown)}; only ${values.join(', ')} may stand here, with commas between them`;
    }),
  );
}

export function Flag(options: FieldOptions = {}): PropertyDecorator {
  return field(
    options,
    { type: 'boolean' },
    satisfies('flag', (value) =>
      typeof value === 'boolean' ? null : `is ${shown(value)}; true or false is needed`,
    ),
  );
}
