import type { EntityManager } from 'typeorm';
import type { Message } from '../../domain/message.js';
import type { ProblemSlug } from '../problems/problem-kinds.js';
import { Problem } from '../problems/problem.js';

/**
 * Until the transaction ends, whoever else wants more of the same for the same fleet waits, so that
 * none overlooks another.
 */
export async function lockRoom(
  tx: EntityManager,
  fleetId: string,
  what: 'tokens' | 'attachments' | 'visit plans',
): Promise<void> {
  await tx.query('select pg_advisory_xact_lock(hashtextextended($1, 0))', [`${what} of ${fleetId}`]);
}

/** How far a fleet is, and how far it may go. */
export interface Room {
  limit: number;
  present: number;
}

/**
 * What is answered when a fleet has as much as it may have: the numbers are members of the problem.
 */
export function noRoom(slug: ProblemSlug, detail: Message, { limit, present }: Room): Problem {
  return new Problem(409, slug, detail, [], {}, { limit, present });
}

/** The same where room comes by itself. */
export function noRoomYet(
  slug: ProblemSlug,
  detail: Message,
  { limit, present }: Room,
  seconds: number,
): Problem {
  return new Problem(429, slug, detail, [], { 'retry-after': String(seconds) }, { limit, present });
}
