import type { EntityManager } from 'typeorm';
import type { Message } from '../../domain/message.js';
import type { ProblemSlug } from '../problems/problem-kinds.js';
import { Problem } from '../problems/problem.js';

/**
 * Locks one kind of resource of a fleet until the transaction ends. Others that want to add to it
 * wait, so that two of them cannot exceed the limit together.
 */
export async function lockRoom(
  tx: EntityManager,
  fleetId: string,
  what: 'tokens' | 'attachments' | 'visit plans' | 'telematics sources' | 'spreadsheets',
): Promise<void> {
  await tx.query('select pg_advisory_xact_lock(hashtextextended($1, 0))', [`${what} of ${fleetId}`]);
}

/** How much a fleet has, and how much it may have. */
export interface Room {
  limit: number;
  present: number;
}

/** The problem for a fleet that has reached a limit. Both numbers are members of the problem. */
export function noRoom(slug: ProblemSlug, detail: Message, { limit, present }: Room): Problem {
  return new Problem(409, slug, detail, [], {}, { limit, present });
}

/** Like `noRoom`, for a limit that frees up by itself after some time. */
export function noRoomYet(
  slug: ProblemSlug,
  detail: Message,
  { limit, present }: Room,
  seconds: number,
): Problem {
  return new Problem(429, slug, detail, [], { 'retry-after': String(seconds) }, { limit, present });
}
