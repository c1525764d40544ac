import { FOLLOW_UP_LIMITS, HOURS_PER_KM } from '../../follow-ups/follow-up-line.js';
import { distanceInWords, inWords } from '../work/words.js';
import type { StepContext } from './step-context.js';
import { type Step, stepIf } from './steps.js';

/**
 * How the vehicle is let go: driven once, and looked at again soon.
 *
 * Source: common practice, no published source.
 */
export function releaseSteps({ work, isHourOnly, units }: StepContext): Step[] {
  const run = `${isHourOnly ? 'Run it under load' : 'Road test'}: temperature steady, no warning lamp, no leak, no belt noise`;
  const { dueDays, dueKm } = FOLLOW_UP_LIMITS.recheck;
  const after = (km: number): string =>
    isHourOnly ? inWords('engine-hours', km * HOURS_PER_KM, units) : distanceInWords(km, units);
  const recheck = `Recheck the level, cold, after the first ${isHourOnly ? 'run' : 'drive'}: within ${dueDays} days${dueKm === null ? '' : ` or ${after(dueKm)}`}`;
  return [
    ...stepIf('road-test', work.runs ? run : null),
    ...stepIf('recheck', work.opensCircuit ? recheck : null),
  ];
}
