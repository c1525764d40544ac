import type { FaultCode } from './fault-sighting.js';

/**
 * A code was seen again and again, active or gone, from one instant to another. Instants are epoch
 * milliseconds.
 */
export interface SightingSpan {
  id: string;
  code: FaultCode;
  isActive: boolean;
  firstAt: number;
  lastAt: number;
  /** The most that the vehicle counted; null where it does not say. */
  occurrences: number | null;
}

/** Sightings of a code at most this far apart belong together; common practice. */
export const TOGETHER_MS = 24 * 3_600_000;

type Stretch = Pick<SightingSpan, 'firstAt' | 'lastAt' | 'occurrences'>;

/**
 * Joins stretches that lie together, by single linkage: what comes out depends on the sightings
 * alone and not on how they were stored, nor in which order they came.
 *
 * @param stretches of one code, all active or all gone, in any order
 * @returns in time order; each carries what the earliest of its stretches carries
 * @example joined([{ firstAt: 0, lastAt: 0 }, { firstAt: 3_600_000, lastAt: 3_600_000 }]) // one, from 0 to 3,600,000
 */
export function joined<S extends Stretch>(stretches: readonly S[]): S[] {
  const inOrder = [...stretches].sort((a, b) => a.firstAt - b.firstAt || a.lastAt - b.lastAt);
  const found: S[] = [];
  for (const stretch of inOrder) {
    const before = found.at(-1);
    if (before !== undefined && stretch.firstAt - before.lastAt <= TOGETHER_MS)
      found[found.length - 1] = { ...before, ...unionOf(before, stretch) };
    else found.push(stretch);
  }
  return found;
}

/** The stretch that covers both. */
export function unionOf(left: Stretch, right: Stretch): Stretch {
  return {
    firstAt: Math.min(left.firstAt, right.firstAt),
    lastAt: Math.max(left.lastAt, right.lastAt),
    occurrences: mostOf(left.occurrences, right.occurrences),
  };
}

function mostOf(left: number | null, right: number | null): number | null {
  return left === null || right === null ? (left ?? right) : Math.max(left, right);
}

/** Whether a stretch may be lengthened to take in another. */
export function liesBeside(left: Stretch, right: Stretch): boolean {
  return left.firstAt - TOGETHER_MS <= right.lastAt && right.firstAt - TOGETHER_MS <= left.lastAt;
}
