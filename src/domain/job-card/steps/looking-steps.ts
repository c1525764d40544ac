import { COOL_DOWN } from '../../filling/filling-steps.js';
import type { WorkLine } from '../../intervals/types.js';
import type { UnitSystem } from '../../quantities/measures.js';
import { partLines } from '../work/card-work.js';
import { withParts } from '../work/words.js';
import { GAS_TEST } from './gas-test.js';
import type { StepContext } from './step-context.js';
import { type Step, stepIf } from './steps.js';

/** A hose that can be held in the hand, in round figures; common practice. */
const COOL_TO_THE_HAND: Readonly<Record<UnitSystem, string>> = { us: '120 °F', si: '50 °C' };

/**
 * What is looked at, tested and read before anything is taken apart, beginning with the cool
 * system.
 *
 * Source: common practice, no published source.
 */
export function lookingSteps(lines: readonly WorkLine[], { work, proofTest, units }: StepContext): Step[] {
  const cool = `Engine off, stood until the upper hose is cool to the hand, below about ${COOL_TO_THE_HAND[units]}; ease the cap to its first stop under a rag`;
  const readsStrength = work.readsStrength && (!work.opensCircuit || work.adjustsStrength);
  const readsLevel = work.readsLevel && !work.opensCircuit;
  return [
    ...stepIf('cool', work.needsCool || proofTest !== null ? cool : null),
    ...stepIf('inspect', withParts('Inspect', partLines(lines, 'inspect', 'recheck'))),
    ...stepIf('test', withParts('Test', partLines(lines, 'test'))),
    ...(work.testsForGas ? gasTestSteps(work.opensCircuit || work.adjustsStrength || work.filter) : []),
    ...stepIf(
      'read-strength',
      readsStrength ? 'Read the strength of a mixed sample on a scale for its base' : null,
    ),
    ...stepIf(
      'read-level',
      readsLevel ? 'Read the level with the engine cold, before adding anything' : null,
    ),
  ];
}

/** @param isOpenedAfter the circuit is opened next, so that the engine has to cool down again */
function gasTestSteps(isOpenedAfter: boolean): Step[] {
  const test = `${GAS_TEST}; then warm the engine up. If the fluid changes colour: park it`;
  return [{ step: 'test', text: test }, ...(isOpenedAfter ? [COOL_DOWN] : [])];
}
