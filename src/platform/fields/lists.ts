import { applyDecorators } from '@nestjs/common';
import { ArrayMaxSize, ArrayMinSize, ArrayUnique, IsArray } from 'class-validator';
import { AtMost } from './at-most.js';
import { message } from './messages.js';
import { shown } from './shown.js';
import { saying, worded, namedTwice } from './wording.js';

/**
 * A list of at most `max` entries.
 *
 * @param type the class of its entries; left out for a list of plain values
 */
export function ListOf(max: number, type?: () => new () => object): PropertyDecorator {
  return applyDecorators(
    IsArray(worded((value) => message('field-not-list', { given: shown(value) }))),
    ArrayMaxSize(max, saying(message('field-list-too-long', { max }))),
    AtMost(max, type),
  );
}

/** A list of at least `min` entries. */
export function AtLeast(min: number): PropertyDecorator {
  return ArrayMinSize(min, saying(message('field-list-too-short', { min })));
}

/** A list without repeated entries. */
export function EachOnce(): PropertyDecorator {
  return ArrayUnique(
    worded((value) => {
      const list = Array.isArray(value) ? (value as unknown[]) : [];
      const twice = list.find((entry, index) => list.indexOf(entry) < index);
      return namedTwice(shown(twice));
    }),
  );
}
