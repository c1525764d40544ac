import type { DailyRate } from '../usage/types.js';

const WORDS = {
  'theil-sen-90-days': 'quarter',
  'theil-sen-365-days': 'year',
  'weighed-weeks': 'weeks',
  mean: 'mean',
  declared: 'declared',
} as const satisfies Record<DailyRate['method'], string>;

/** The word in messages for how a daily rate was found. */
export function rateMethod({ method }: DailyRate): (typeof WORDS)[DailyRate['method']] {
  return WORDS[method];
}
