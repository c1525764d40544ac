import type { Band } from '../../domain/reliability/optimum-band.js';

/** Whether an interval is below, within or above the band of the optimum. */
export function againstBand(every: number, { low, high }: Band): 'sooner' | 'within' | 'later' {
  if (every < low) return 'sooner';
  return every > high ? 'later' : 'within';
}
