import type { FastifyRequest } from 'fastify';
import { currentUnits } from '../scope/fleet-scope.js';
import type { Reader } from '../words/render.js';
import { languageOfRequest } from './language-of-request.js';

/**
 * The reader of a problem: the person who sent the refused request, so units are kept as typed.
 * Such a request may name unknown units, or have no fleet.
 */
export function readerOf(request: FastifyRequest): Reader {
  // When even the path cannot be read, there is no query.
  const { units } = (request.query ?? {}) as { units?: unknown };
  const system = units === 'us' || units === 'si' ? units : currentUnits();
  return { language: languageOfRequest(request), units: system === null ? null : { typedOr: system } };
}
