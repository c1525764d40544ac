import { isInCircuit } from '../../intervals/circuit-opening.js';
import type { WorkLine } from '../../intervals/types.js';
import type { Message } from '../../message.js';
import type { StepContext } from './step-context.js';
import { type Step, stepIf, type StepName } from './steps.js';

/**
 * A step for the parts in the circuit, and one for those in none, as a belt: only where the circuit
 * is named, else one for all.
 *
 * @param text what is said of some of the lines; null for none
 * @returns what is in no circuit comes last
 */
export function stepsByCircuit(
  step: StepName,
  lines: readonly WorkLine[],
  { namesCircuit }: Pick<StepContext, 'namesCircuit'>,
  text: (lines: readonly WorkLine[]) => Message | null,
): Step[] {
  const inside = namesCircuit ? lines.filter(({ component }) => isInCircuit(component)) : lines;
  const outside = lines.filter((line) => !inside.includes(line));
  return [
    ...stepIf(step, text(inside)),
    ...stepIf(step, text(outside)).map((made): Step => ({ ...made, isInNoCircuit: true })),
  ];
}
