import type { Message } from '../../message.js';
import { message } from '../messages.js';
import type { StepContext } from './step-context.js';
import { type Step, stepIf } from './steps.js';

/** To be read with every step of work in a circuit that cools parts of the high-voltage system. */
export const HIGH_VOLTAGE_STEP = message('step-caution-high-voltage');

/**
 * What comes before all work in such a circuit.
 *
 * Source: NFPA 70E and, in Germany, the rules of the DGUV (from memory): work on electric equipment
 * begins with an electrically safe condition, made and verified by qualified people. The system is
 * locked out before it is tested, or somebody could switch it on after the test.
 */
export const ISOLATE: Step = { step: 'isolate', message: message('step-isolate') };

/**
 * How such a circuit is filled again: with the premixed coolant that the vehicle maker names, kept
 * apart from any other. It is bled with the service mode, because no engine runs its pump, and the
 * conductivity is read afterwards.
 *
 * Source: common practice, no published source; the vehicle maker's procedure comes before it.
 *
 * @param hold the hold test
 * @param proof the test that proves a repair
 */
export function electricRefillSteps(
  context: StepContext,
  hold: readonly Step[],
  proof: readonly Step[],
): Step[] {
  const { work, holdTest } = context;
  const isFilledFirst = holdTest?.method === 'pressure';
  const isFilled = work.opensCircuit || work.adjustsStrength;
  return [
    ...(isFilledFirst ? [] : hold),
    ...stepIf('fill', isFilled ? fillText(context) : null),
    ...stepIf('bleed', isFilled ? message('step-bleed-by-service-mode') : null),
    ...(isFilledFirst ? hold : []),
    ...proof,
    ...stepIf('read-conductivity', isFilled || work.readsStrength ? conductivityText(context) : null),
    ...stepIf('top-up', isFilled || work.readsLevel ? message('step-top-up-low-conductivity') : null),
  ];
}

function fillText({ work, coolant }: StepContext): Message {
  if (!work.opensCircuit) return message('step-adjust-low-conductivity');
  const premix = coolant?.premix ?? null;
  return premix === null
    ? message('step-fill-low-conductivity')
    : message('step-fill-low-conductivity-about', { amount: premix.volume, percent: premix.strengthPercent });
}

function conductivityText({ conductivityMaxUsPerCm: most }: StepContext): Message {
  return most === null
    ? message('step-read-conductivity-by-maker')
    : message('step-read-conductivity', { most });
}
