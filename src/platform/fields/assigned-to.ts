import type { FastifyRequest } from 'fastify';
import { badQuery } from '../problems/problem.js';
import { fleetScope } from '../scope/fleet-scope.js';
import { Text } from './fields.js';
import { message } from './messages.js';
import { UUID_PATTERN } from './uuid.js';

const ME = 'me';

/** A query parameter: whose work. `personAsked` reads it. */
export const AssignedTo = (): PropertyDecorator =>
  Text({
    optional: true,
    max: 36,
    description: 'Only work assigned to this person: an id, or `me` for the person of the token or session',
  });

/** @throws Problem 400 when it is neither an id nor `me`, or when nobody in particular asks */
export function personAsked(asked: string | undefined): string | undefined {
  if (asked === undefined) return undefined;
  if (asked !== ME) {
    if (UUID_PATTERN.test(asked.toLowerCase())) return asked.toLowerCase();
    throw badQuery('assignedTo', message('assigned-to-not-person', { given: asked }));
  }
  const { person } = fleetScope();
  if (person == null) throw badQuery('assignedTo', message('assigned-to-nobody'));
  return person.id;
}

/** True when the answer to a request depends on which person asks. */
export function dependsOnPerson(request: FastifyRequest): boolean {
  const { assignedTo } = (request.query ?? {}) as { assignedTo?: unknown };
  return assignedTo !== undefined && !(typeof assignedTo === 'string' && UUID_PATTERN.test(assignedTo));
}
