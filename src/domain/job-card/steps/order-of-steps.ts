import type { WorkLine } from '../../intervals/types.js';
import { HIGH_VOLTAGE_STEP } from './electric-steps.js';
import { lookingSteps } from './looking-steps.js';
import { refillSteps } from './refill-steps.js';
import { releaseSteps } from './release-steps.js';
import type { StepContext } from './step-context.js';
import type { Step } from './steps.js';
import { takingApartSteps } from './taking-apart-steps.js';

/**
 * The steps of a job in the order to do them, only for the work asked. A vacuum test comes before
 * the fill, which it prepares; a pressure test is made on a filled system. Beside high voltage
 * every step carries its caution.
 *
 * Source: common practice for the order.
 *
 * @param lines what is to be done
 * @example stepsOf([{ component: 'drive-belt', action: 'inspect', item: null }], context).map(({ step }) => step) // ['inspect', 'belt']
 */
export function stepsOf(lines: readonly WorkLine[], context: StepContext): Step[] {
  const steps = [
    ...lookingSteps(lines, context),
    ...takingApartSteps(lines, context),
    ...refillSteps(context),
    ...releaseSteps(context),
  ];
  return context.isElectric ? steps.map((step) => ({ ...step, caution: HIGH_VOLTAGE_STEP })) : steps;
}
