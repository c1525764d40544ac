import type { FastifyRequest } from 'fastify';
import { currentUnits } from '../scope/fleet-scope.js';
import type { Reader } from '../words/render.js';
import { languageOfRequest } from './language-of-request.js';

/**
 * For whom a problem is told: whoever typed what is refused, so a typed unit is kept. A request
 * that is refused may name units that do not exist, or no fleet.
 */
export function readerOf(request: FastifyRequest): Reader {
  // Where the path itself cannot be read there is no query either.
  const { units } = (request.query ?? {}) as { units?: unknown };
  const system = units === 'us' || units === 'si' ? units : currentUnits();
  return { language: languageOfRequest(request), units: system === null ? null : { typedOr: system } };
}
