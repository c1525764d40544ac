import { COOL_DOWN, type FillingSteps, fillingSteps, FIRST_RUN } from '../../filling/filling-steps.js';
import type { Message } from '../../message.js';
import { message } from '../messages.js';
import { holdTestOnGauge } from '../to-bring/hold-test-for-job.js';
import { electricRefillSteps } from './electric-steps.js';
import { fillText, vacuumLeaves } from './fill-words.js';
import { GAS_PROOF } from './gas-test.js';
import type { StepContext } from './step-context.js';
import { type Step, stepIf } from './steps.js';

/**
 * From the hold test to the level at the mark on a cold engine. A vacuum test comes before the
 * fill, which it prepares; a pressure test is made on the filled system.
 *
 * Source: common practice, no published source.
 */
export function refillSteps(context: StepContext): Step[] {
  const { work, holdTest } = context;
  if (context.isElectric)
    return electricRefillSteps(
      context,
      stepIf('hold-test', work.holdTest ? holdText(context) : null),
      stepIf('proof-test', proofText(context)),
    );
  const filling = work.opensCircuit ? fillingOf(context) : null;
  const hold = stepIf('hold-test', work.holdTest ? holdText(context) : null);
  const isFilledFirst = holdTest?.method === 'pressure';
  return [
    ...(filling?.prepare ?? []),
    ...(isFilledFirst ? [] : hold),
    ...(filling?.fill ?? []),
    ...(isFilledFirst ? hold : []),
    ...stepIf('proof-test', proofText(context)),
    ...stepIf('adjust-strength', work.adjustsStrength ? adjustText(context) : null),
    ...stepIf('dose', work.doses ? doseText(context) : null),
    ...upToTheMark(context, filling),
  ];
}

function fillingOf(context: StepContext): FillingSteps {
  return fillingSteps({
    fill: fillText(context),
    vacuumLeaves: vacuumLeaves(context),
    isByVacuum: context.holdTest?.method === 'vacuum',
  });
}

function holdText({ holdTest, units, practice }: StepContext): Message {
  if (holdTest === null) return message('step-hold-test-by-maker');
  const { target, ...told } = holdTestOnGauge(holdTest, units, practice);
  return target === null
    ? message('step-hold-test-no-target', told)
    : message('step-hold-test', { ...told, target });
}

function proofText({ proofTest, units, practice }: StepContext): Message | null {
  if (proofTest === null) return null;
  const { target, ...told } = holdTestOnGauge(proofTest, units, practice);
  return target === null
    ? message('step-proof-test-no-target', told)
    : message('step-proof-test', { ...told, target });
}

function adjustText({ coolant }: StepContext): Message {
  const adjust = coolant?.adjust ?? null;
  if (coolant === null || adjust === null) return message('step-adjust-strength-unknown');
  const { drain: amount, pour } = adjust;
  return message('step-adjust-strength', { amount, pour, percent: coolant.targetStrengthPercent });
}

function doseText({ additive }: StepContext): Message {
  if (additive === null) return message('step-dose-by-label');
  const { product, inWords: amount } = additive;
  return product === null
    ? message('step-dose-unnamed', { amount })
    : message('step-dose', { amount, product });
}

/**
 * What was poured in is mixed by a first run. Where a part that let combustion gas in is new, the
 * test is fitted once the engine is cold again, and the level brought back after it.
 */
function upToTheMark({ work }: StepContext, filling: FillingSteps | null): Step[] {
  const isMixed = filling !== null || work.adjustsStrength;
  if (!isMixed && !work.doses) return stepIf('top-up', work.readsLevel ? message('step-top-up-same') : null);
  return (filling?.finish ?? FIRST_RUN)
    .filter(({ step }) => isMixed || step !== 'read-strength')
    .flatMap((step): Step[] =>
      step === COOL_DOWN && work.provesNoGas ? [step, { step: 'test', message: GAS_PROOF }] : [step],
    );
}
