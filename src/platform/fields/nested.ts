import type { ApiPropertyOptions } from '@nestjs/swagger';
import { Type } from 'class-transformer';
import { ArrayMaxSize, ArrayMinSize, IsArray, IsObject, ValidateNested } from 'class-validator';
import { AtMost } from './at-most.js';
import { field, type FieldOptions } from './field.js';

/**
 * The API document takes a function for a class that is yet to come only if the function is named
 * `type`; this one is.
 */
function documentedClass(classOf: () => new () => object): ApiPropertyOptions {
  return { type: () => classOf() };
}

/** A nested object of the given class. */
export function Nested(type: () => new () => object, options: FieldOptions = {}): PropertyDecorator {
  return field(
    options,
    documentedClass(type),
    IsObject({ message: 'is not an object' }),
    ValidateNested(),
    Type(type),
  );
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
    IsArray({ message: 'is not a list' }),
    ArrayMinSize(min, { message: `needs at least ${min}` }),
    ArrayMaxSize(max, { message: `holds more than ${max}` }),
    AtMost(max, type),
    IsObject({ each: true, message: 'holds something that is not an object' }),
    ValidateNested({ each: true }),
  );
}
