import { Param, type PipeTransform } from '@nestjs/common';
import type { RecordName } from '../problems/messages.js';
import { notFound } from '../problems/problem.js';
import { UUID_PATTERN } from '../fields/uuid.js';

/** An id in a path. Anything that is not a UUID is answered with 404. */
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
