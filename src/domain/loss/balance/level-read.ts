import { measure } from '../../quantities/measures.js';
import type { LevelCheckFact, LossEvidence } from '../facts/types.js';
import { message } from '../messages.js';

/** The coolant missing to the mark according to a level check, in L. */
export interface LevelRead {
  /** Exact within the uncertainty of a level; null if it was not given that exactly. */
  exactL: number | null;
  /** No less than this is missing; null where nothing can be said. */
  leastL: number | null;
  /**
   * Between the marks: the middle, with the standard uncertainty of a value that may lie anywhere
   * between them.
   */
  estimate: { belowMarkL: number; uncertaintyL: number } | null;
}

const TELLS_NOTHING: LevelRead = { exactL: null, leastL: null, estimate: null };

/**
 * What a level check tells. Litres and "at MAX" are exact on a cold engine. "Between" is an
 * interval, from nothing missing to as much as lies between the marks; "below MIN" has its least
 * alone, and on a hot engine too, since coolant shrinks as it cools. "Above MAX" tells nothing of
 * loss.
 *
 * Source: JCGM 100:2008, 4.3.7, for a value anywhere in an interval of width a: the middle, with
 * a/√12.
 *
 * @param minToMaxL what lies between the marks, in L; null where unknown
 * @example levelRead({ …, level: 'between', engineCold: true, belowMarkL: null }, 1.2) // least 0, estimate 0.6 ± 0.346
 */
export function levelRead(
  { belowMarkL, level = null, engineCold }: Pick<LevelCheckFact, 'belowMarkL' | 'level' | 'engineCold'>,
  minToMaxL: number | null,
): LevelRead {
  if (belowMarkL !== null && engineCold) return { exactL: belowMarkL, leastL: belowMarkL, estimate: null };
  if (level === 'below-min') return { ...TELLS_NOTHING, leastL: minToMaxL ?? 0 };
  if (!engineCold) return TELLS_NOTHING;
  if (level === 'at-max') return { exactL: 0, leastL: 0, estimate: null };
  if (level !== 'between') return TELLS_NOTHING;
  return {
    exactL: null,
    leastL: 0,
    estimate:
      minToMaxL === null ? null : { belowMarkL: minToMaxL / 2, uncertaintyL: minToMaxL / Math.sqrt(12) },
  };
}

/**
 * A level at the marks as evidence, with the least loss since the first known level. @param lostL
 * in L
 */
export function wordEvidence(fact: LevelCheckFact, lostL: number, minToMaxL: number | null): LossEvidence {
  const { estimate } = levelRead(fact, minToMaxL);
  const level = fact.level ?? 'between';
  return {
    factId: fact.id,
    kind: fact.kind,
    at: fact.at,
    message: message(`loss-level-${level}`, { lost: measure('volume', lostL) }),
    computed: {
      level,
      belowMark: estimate === null ? null : measure('volume', estimate.belowMarkL),
      belowMarkUncertainty: estimate === null ? null : measure('volume', estimate.uncertaintyL),
      lostSinceFirst: measure('volume', lostL),
    },
  };
}
