import type { Message } from '../message.js';
import type { Measure } from '../quantities/measures.js';

/** What a reading shows against its limit, measurement uncertainty counted (JCGM 106:2012). */
export const VERDICTS = ['pass', 'fail', 'inconclusive'] as const;
export type Verdict = (typeof VERDICTS)[number];

export type ComputedValue = Measure | number | string | boolean | null | ComputedValue[];

/**
 * A conclusion that carries its own reasons: what was found, why in plain words, what was computed,
 * and on what basis.
 */
export interface Evaluation {
  /** Null where there is no limit to judge by. */
  verdict: Verdict | null;
  /** Why, in plain words with the numbers; for `inconclusive` also what would settle it. */
  reasons: Message[];
  computed: Record<string, ComputedValue>;
  /** The safety cautions that go with this kind of work. */
  cautions: Message[];
  /**
   * The table, formula, limit and default used; a default without a published source says "common
   * practice".
   */
  basis: Message[];
}

const SEVERITY: Record<Verdict, number> = { pass: 0, inconclusive: 1, fail: 2 };

/**
 * The worst of several verdicts; `pass` when there is nothing to judge. @example worstOf(['pass',
 * null, 'inconclusive']) // 'inconclusive'
 */
export function worstOf(verdicts: readonly (Verdict | null)[]): Verdict {
  let worst: Verdict = 'pass';
  for (const verdict of verdicts)
    if (verdict !== null && SEVERITY[verdict] > SEVERITY[worst]) worst = verdict;
  return worst;
}
