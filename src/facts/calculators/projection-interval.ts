import type { IntervalInput } from '../../register/interval-plans/interval-plan.dto.js';
import type { ProjectionInterval } from './calculator.dto.js';

/** Component and action do not affect the result, so any stand-in will do when they are missing. */
export function intervalOf(interval: ProjectionInterval): IntervalInput {
  return { ...interval, component: interval.component ?? 'other', action: interval.action ?? 'replace' };
}
