import { ArrayMinSize } from 'class-validator';
import { field, type FieldOptions, satisfies } from './field.js';
import { EachOnce, ListOf } from './lists.js';
import { message } from './messages.js';
import { shown } from './shown.js';
import { saying, notFlag } from './wording.js';

export function Choice(values: readonly string[], options: FieldOptions = {}): PropertyDecorator {
  return field(
    options,
    { type: 'string', enum: [...values] },
    satisfies('choice', (value) => {
      if (value === undefined || value === null) return message('field-required-choice', { allowed: values });
      return values.includes(value as string)
        ? null
        : message('field-not-choice', { given: shown(value), allowed: values });
    }),
  );
}

export function Choices(
  values: readonly string[],
  options: FieldOptions & { min?: number } = {},
): PropertyDecorator {
  const { min = 0 } = options;
  return field(
    options,
    {
      type: 'array',
      items: { type: 'string', enum: [...values] },
      minItems: min,
      maxItems: values.length,
    },
    ListOf(values.length),
    ArrayMinSize(min, saying(message('field-too-few-choices', { min, allowed: values }))),
    EachOnce(),
    satisfies(
      'choices',
      (value) =>
        values.includes(value as string)
          ? null
          : message('field-holds-no-choice', { given: shown(value), allowed: values }),
      true,
    ),
  );
}

/** Several choices in one query parameter, separated by commas. It stays text. */
export function ChoiceList(values: readonly string[], options: FieldOptions = {}): PropertyDecorator {
  return field(
    options,
    { type: 'string', example: values.slice(0, 2).join(',') },
    satisfies('choiceList', (value) => {
      if (typeof value !== 'string')
        return message('field-not-choice-list', { given: shown(value), allowed: values });
      const unknown = value.split(',').find((choice) => !values.includes(choice));
      return unknown === undefined
        ? null
        : message('field-choice-list-holds-other', { given: shown(unknown), allowed: values });
    }),
  );
}

export function Flag(options: FieldOptions = {}): PropertyDecorator {
  return field(
    options,
    { type: 'boolean' },
    satisfies('flag', (value) => (typeof value === 'boolean' ? null : notFlag(shown(value)))),
  );
}
