import type { JobCardView } from '../card/job-card.dto.js';

/** The entries of a card's basis that tell a default of the trade. */
export const COMMON_PRACTICE_BASIS: readonly string[] = [
  'basis-hold-test-usual-loss',
  'basis-hold-test-usual-minutes',
  'basis-hold-test-usual-gauge',
  'basis-hold-test-at-cap-rating',
  'basis-card-share',
  'basis-card-dose',
  'basis-card-torque-tolerance',
];

/** A default of the trade, which whoever does the work may know better. */
export function isCommonPractice({ code }: JobCardView['basis'][number]): boolean {
  return COMMON_PRACTICE_BASIS.includes(code);
}
