import type { ApiPropertyOptions } from '@nestjs/swagger';
import { Type } from 'class-transformer';
import { IsObject, ValidateNested } from 'class-validator';
import type { Message } from '../../domain/message.js';
import { field, type FieldOptions } from './field.js';
import { AtLeast, ListOf } from './lists.js';
import { message } from './messages.js';
import { shown } from './shown.js';
import { worded } from './wording.js';

/**
 * Names the class lazily. The API document builder recognises such a function only by its name,
 * `type`.
 */
function documentedClass(classOf: () => new () => object): ApiPropertyOptions {
  return { type: () => classOf() };
}

/** A nested object of the given class. */
export function Nested(type: () => new () => object, options: FieldOptions = {}): PropertyDecorator {
  return field(
    options,
    documentedClass(type),
    IsObject(worded((value) => message('field-not-object', { given: shown(value) }))),
    ValidateNested(),
    Type(type),
  );
}

function noObjectIn(value: unknown): Message {
  const list = Array.isArray(value) ? (value as unknown[]) : [];
  const other = list.find((entry) => typeof entry !== 'object' || entry === null || Array.isArray(entry));
  return message('field-holds-no-object', { given: shown(other) });
}

/** A list of objects of the given class. */
export function NestedList(
  type: () => new () => object,
  options: FieldOptions & { min?: number; max: number },
): PropertyDecorator {
  const { min = 0, max } = options;
  return field(
    options,
    { ...documentedClass(type), isArray: true, minItems: min, maxItems: max },
    ListOf(max, type),
    AtLeast(min),
    IsObject({ each: true, ...worded(noObjectIn) }),
    ValidateNested({ each: true }),
  );
}
