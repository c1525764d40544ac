import type { CoolantBase, CoolantTechnology, Poured } from '../../coolant/coolant.js';
import type { Evaluation } from '../../evaluation/evaluation.js';

/** What pouring something in can leave to be done, whether it was a fill or a top-up. */
export type PouringFinding = 'other-base' | 'other-technology' | 'water-poured';

/**
 * What a fill or a top-up poured in. @example pouredOf({ addedL: 1 }) // { base: null, technology:
 * null, volumeL: 1 }
 */
export function pouredOf(reading: {
  base?: CoolantBase | null;
  technology?: CoolantTechnology | null;
  addedL: number;
}): Poured {
  return { base: reading.base ?? null, technology: reading.technology ?? null, volumeL: reading.addedL };
}

/**
 * The findings of a fill or a top-up. Another base comes first: until it is out, no strength can be
 * measured.
 *
 * @param computed by `evaluateFill` or `evaluateTopUp`
 * @param failed what it found by failing
 * @param weak what it is called when the strength has to be read after it
 * @example findingsOfPouring({ strengthCheckDue: true }, { failed: [], weak: 'water-poured' }) // ['water-poured']
 */
export function findingsOfPouring<F extends string>(
  { otherBase, strengthCheckDue, shortensCoolantLife }: Evaluation['computed'],
  { failed, weak }: { failed: readonly F[]; weak: F },
): (F | 'other-base' | 'other-technology')[] {
  if (otherBase === true) return ['other-base'];
  return [
    ...failed,
    ...(strengthCheckDue === true ? [weak] : []),
    ...(shortensCoolantLife === true ? (['other-technology'] as const) : []),
  ];
}
