import { FOLLOW_UP_LIMITS, HOURS_PER_KM } from '../../follow-ups/follow-up-line.js';
import type { Message } from '../../message.js';
import { measure } from '../../quantities/measures.js';
import { message } from '../messages.js';
import { roundDistance } from '../work/words.js';
import type { StepContext } from './step-context.js';
import { type Step, stepIf } from './steps.js';

/**
 * How the vehicle is let go: driven once, and looked at again soon.
 *
 * Source: common practice, no published source.
 */
export function releaseSteps(context: StepContext): Step[] {
  const { work, isHourOnly } = context;
  return [
    ...stepIf('road-test', work.runs ? message('step-road-test', { by: runBy(isHourOnly) }) : null),
    ...stepIf('recheck', work.opensCircuit ? recheckText(context) : null),
  ];
}

function recheckText({ isHourOnly, units }: StepContext): Message {
  const { dueDays: days, dueKm } = FOLLOW_UP_LIMITS.recheck;
  const by = runBy(isHourOnly);
  if (dueKm === null) return message('step-recheck-days', { by, days });
  const limit = isHourOnly ? measure('engine-hours', dueKm * HOURS_PER_KM) : roundDistance(dueKm, units);
  return message('step-recheck', { by, days, limit });
}

/** A machine that counts only engine hours is run, not driven. */
function runBy(isHourOnly: boolean): 'run' | 'driven' {
  return isHourOnly ? 'run' : 'driven';
}
