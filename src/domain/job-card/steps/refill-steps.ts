import { MIXING_WATER } from '../../coolant/water.js';
import { COOL_DOWN, type FillingSteps, fillingSteps, FIRST_RUN } from '../../filling/filling-steps.js';
import { holdTestInWords } from '../to-bring/hold-test-for-job.js';
import { inWords } from '../work/words.js';
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

function holdText({ holdTest, units, practice }: StepContext): string {
  if (holdTest === null) return "Hold test by the vehicle maker's information";
  return `Hold test by ${holdTest.method}, engine cold. ${holdTestInWords(holdTest, units, practice)}`;
}

function proofText({ proofTest, units, practice }: StepContext): string | null {
  if (proofTest === null) return null;
  return `Coolant was being lost: hold test by ${proofTest.method}, filled and cold. ${holdTestInWords(proofTest, units, practice)}`;
}

function adjustText({ coolant, units }: StepContext): string {
  const adjust = coolant?.adjust ?? null;
  if (coolant === null || adjust === null)
    return 'Bring the strength to the target: work out from the reading what to drain and replace';
  const amount = inWords('volume', adjust.drain.value, units);
  const what = adjust.pour === 'concentrate' ? 'neat concentrate' : MIXING_WATER;
  return `Drain ${amount} and pour in as much ${what}, to come to ${coolant.targetStrengthPercent} %`;
}

function doseText({ additive }: StepContext): string {
  return additive === null
    ? 'Add additive as its label says, for the capacity on this card'
    : `Add ${additive.text}`;
}

/**
 * What was poured in is mixed by a first run. Where a part that let combustion gas in is new, the
 * test is fitted once the engine is cold again, and the level brought back after it.
 */
function upToTheMark({ work }: StepContext, filling: FillingSteps | null): Step[] {
  const isMixed = filling !== null || work.adjustsStrength;
  if (!isMixed && !work.doses)
    return stepIf(
      'top-up',
      work.readsLevel ? 'Top up to the mark with the same coolant, and note how much' : null,
    );
  return (filling?.finish ?? FIRST_RUN)
    .filter(({ step }) => isMixed || step !== 'read-strength')
    .flatMap((step): Step[] =>
      step === COOL_DOWN && work.provesNoGas ? [step, { step: 'test', text: GAS_PROOF }] : [step],
    );
}
