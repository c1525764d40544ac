import type { Message } from '../../message.js';
import { COOL_DOWN } from '../../filling/filling-steps.js';
import type { WorkLine } from '../../intervals/types.js';
import { MEASURES, type UnitSystem } from '../../quantities/measures.js';
import { told } from '../../quantities/told.js';
import { convert } from '../../quantities/units.js';
import { message } from '../messages.js';
import { partLines } from '../work/card-work.js';
import { partsStep } from '../work/words.js';
import { stepsByCircuit } from './by-circuit.js';
import { ISOLATE } from './electric-steps.js';
import { GAS_TEST } from './gas-test.js';
import type { StepContext } from './step-context.js';
import { type Step, stepIf } from './steps.js';

/** A hose that can be held in the hand, in round figures of °F and °C; common practice. */
const COOL_TO_THE_HAND: Readonly<Record<UnitSystem, number>> = { us: 120, si: 50 };

/**
 * What is looked at, tested and read before anything is taken apart, beginning with the cool
 * system.
 *
 * Source: common practice, no published source.
 */
export function lookingSteps(lines: readonly WorkLine[], context: StepContext): Step[] {
  const { work, proofTest, units, isElectric } = context;
  const readsStrength = work.readsStrength && (!work.opensCircuit || work.adjustsStrength);
  const readsLevel = work.readsLevel && !work.opensCircuit;
  return [
    ...(isElectric ? [ISOLATE] : []),
    ...stepIf('cool', work.needsCool || proofTest !== null ? coolStep(units, isElectric) : null),
    ...stepsByCircuit('inspect', partLines(lines, 'inspect', 'recheck'), context, (some) =>
      partsStep('step-inspect', some),
    ),
    ...stepsByCircuit('test', partLines(lines, 'test'), context, (some) => partsStep('step-test', some)),
    ...stepIf('read-strength', readsStrength ? message('step-read-strength-first') : null),
    ...stepIf('read-level', readsLevel ? message('step-read-level') : null),
    // It warms the engine up, so what is read cold comes before it.
    ...(work.testsForGas ? gasTestSteps(work.opensCircuit || work.adjustsStrength || work.filter) : []),
  ];
}

function coolStep(units: UnitSystem, isElectric: boolean): Message {
  const unit = MEASURES.temperature[units];
  const limitC = convert(COOL_TO_THE_HAND[units], unit, 'C');
  const limit = told('temperature', limitC, unit);
  return isElectric ? message('step-cool-circuit', { limit }) : message('step-cool', { limit });
}

/** @param isOpenedAfter the circuit is opened next, so that the engine has to cool down again */
function gasTestSteps(isOpenedAfter: boolean): Step[] {
  return [{ step: 'test', message: GAS_TEST }, ...(isOpenedAfter ? [COOL_DOWN] : [])];
}
