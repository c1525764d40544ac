import { Param, type PipeTransform } from '@nestjs/common';
import type { RecordName } from '../problems/messages.js';
import { notFound } from '../problems/problem.js';
import { UUID_PATTERN } from '../fields/uuid.js';

/** A path's id; what is not a UUID names nothing, and is not found. */
export function IdParam(what: RecordName, name = 'id'): ParameterDecorator {
  const pipe: PipeTransform<string, string> = {
    transform(value) {
      const id = value.toLowerCase();
      if (!UUID_PATTERN.test(id)) throw notFound(what);
      return id;
    },
  };
  return Param(name, pipe);
}
