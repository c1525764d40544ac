import type { Message } from '../../domain/message.js';
import type { ProblemSlug } from '../problems/problem-kinds.js';
import { Problem } from '../problems/problem.js';
import type { Standing } from './allowance.js';

/**
 * The problem for a client that sends too many requests, with the time after which it may go on.
 */
export function tooMany({ resetSeconds }: Standing, slug: ProblemSlug, detail: Message): Problem {
  return new Problem(429, slug, detail, [], { 'retry-after': String(resetSeconds) });
}
