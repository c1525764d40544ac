import { Problem } from '../problems/problem.js';
import type { Standing } from './allowance.js';

/** The problem of whoever asks too often, with when to go on. */
export function tooMany({ resetSeconds }: Standing, slug: string, detail: string): Problem {
  return new Problem(429, slug, detail, [], { 'retry-after': String(resetSeconds) });
}
