import type { Message } from '../../message.js';
import type { CircuitName } from '../../vehicles/circuits.js';

export const STEPS = [
  'isolate',
  'cool',
  'inspect',
  'test',
  'clean',
  'read-strength',
  'read-level',
  'drain',
  'flush',
  'remove',
  'fit',
  'adjust',
  'torque',
  'belt',
  'prepare-fill',
  'hold-test',
  'fill',
  'bleed',
  'read-conductivity',
  'top-up-to-mark',
  'proof-test',
  'adjust-strength',
  'dose',
  'warm-up',
  'cool-down',
  'top-up',
  'road-test',
  'recheck',
] as const;
export type StepName = (typeof STEPS)[number];

/** One step of a job, to be ticked off. */
export interface Step {
  step: StepName;
  message: Message;
  /** Named where the vehicle has more than one; missing for what belongs to none. */
  circuit?: CircuitName;
  /** About parts that belong to no circuit; only while the steps are made. */
  isInNoCircuit?: boolean;
  /** To be read with this very step: beside high voltage. */
  caution?: Message;
}

/** A step where there is something to say, none else. @example stepIf('clean', null) // [] */
export function stepIf(step: StepName, message: Message | null): Step[] {
  return message === null ? [] : [{ step, message }];
}
