import type { Band } from '../../domain/reliability/optimum-band.js';

/** How an interval stands to the band of the optimum. */
export function againstBand(every: number, { low, high }: Band): 'sooner' | 'within' | 'later' {
  if (every < low) return 'sooner';
  return every > high ? 'later' : 'within';
}
