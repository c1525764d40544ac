import { type ArgumentMetadata, Injectable, type PipeTransform } from '@nestjs/common';
import { plainToInstance } from 'class-transformer';
import { validate, validateSync, type ValidationError, type ValidatorOptions } from 'class-validator';
import type { Message } from '../../domain/message.js';
import { faultOf, unknownField } from '../fields/wording.js';
import { escapePointer, isForbiddenKey, notStorable, UNSTORABLE } from './json-body.js';
import { message } from './messages.js';
import { badQuery, type FieldFault, Problem, unacceptable } from '../problems/problem.js';

/** The fault of a body that is not an object. */
export function objectNeeded(): Message {
  return message('object-needed');
}

/** Turns validation errors into faults with pointers to the values. */
export function faultsOf(errors: ValidationError[], parent = ''): FieldFault[] {
  return errors.flatMap((error) => {
    const pointer = error.property === undefined ? parent : `${parent}/${escapePointer(error.property)}`;
    const inner = faultsOf(error.children ?? [], pointer);
    return error.constraints ? [{ pointer, detail: faultOf(error) }, ...inner] : inner;
  });
}

const OPTIONS: ValidatorOptions = {
  whitelist: true,
  forbidNonWhitelisted: true,
  forbidUnknownValues: true,
  stopAtFirstError: true,
};

/**
 * Returns the faults of data as an instance of a DTO class. Synchronous, for checking many in a
 * row.
 */
export function faultsIn<T extends object>(
  type: new () => T,
  data: Partial<Record<keyof T, unknown>>,
): FieldFault[] {
  return faultsOf(validateSync(Object.assign(new type(), data), OPTIONS));
}

/**
 * Validates plain data as an instance of a DTO class.
 *
 * @throws Problem 422 with a pointer for each fault
 */
export async function validated<T extends object>(type: new () => T, data: unknown, parent = ''): Promise<T> {
  if (typeof data !== 'object' || data === null || Array.isArray(data)) {
    throw unacceptable([{ pointer: parent, detail: objectNeeded() }]);
  }
  const instance = plainToInstance(type, data);
  const errors = await validate(instance, OPTIONS);
  if (errors.length > 0) throw unacceptable(faultsOf(errors, parent));
  return instance;
}

/** Validates bodies and queries by the class that the parameter declares. */
@Injectable()
export class ValidationPipe implements PipeTransform {
  async transform(value: unknown, { type, metatype }: ArgumentMetadata): Promise<unknown> {
    if (!metatype || metatype === Object || metatype === String || metatype === Array) return value;
    if (type === 'body') return validated(metatype as new () => object, value);
    if (type !== 'query') return value;
    for (const [name, text] of Object.entries((value ?? {}) as Record<string, unknown>)) {
      if (isForbiddenKey(name)) throw badQuery(name, message('parameter-unknown'));
      if (typeof text === 'string' && UNSTORABLE.test(text)) throw badQuery(name, notStorable());
    }
    try {
      // `units` is allowed on every read, and the presenter has already checked it.
      const { units: _units, ...rest } = (value ?? {}) as Record<string, unknown>;
      return await validated(metatype as new () => object, rest);
    } catch (error) {
      if (!(error instanceof Problem)) throw error;
      const [fault] = error.errors;
      if (fault === undefined) throw error;
      const isUnknown = fault.detail.code === unknownField().code;
      throw badQuery(fault.pointer?.slice(1) ?? '', isUnknown ? message('parameter-unknown') : fault.detail);
    }
  }
}
