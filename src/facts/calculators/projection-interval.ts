import type { IntervalInput } from '../../register/interval-plans/interval-plan.dto.js';
import type { ProjectionInterval } from './calculator.dto.js';

/** What is done to what makes no difference to the sum; where it is left out, any will do. */
export function intervalOf(interval: ProjectionInterval): IntervalInput {
  return { ...interval, component: interval.component ?? 'other', action: interval.action ?? 'replace' };
}
