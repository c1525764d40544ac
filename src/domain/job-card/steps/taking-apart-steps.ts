import type { WorkLine } from '../../intervals/types.js';
import type { Message } from '../../message.js';
import { message } from '../messages.js';
import { isTightened } from '../to-bring/fasteners-for-job.js';
import { type CardWork, partLines } from '../work/card-work.js';
import { partsNamed, partsStep } from '../work/words.js';
import type { StepContext } from './step-context.js';
import { stepsByCircuit } from './by-circuit.js';
import { type Step, stepIf } from './steps.js';

/**
 * From the coolant that is drained to the belt that is back on: what is taken apart, cleaned,
 * renewed and tightened.
 *
 * Source: common practice, no published source.
 */
export function takingApartSteps(lines: readonly WorkLine[], context: StepContext): Step[] {
  const { work, fasteners } = context;
  const replaced = partLines(lines, 'replace');
  const adjusted = partLines(lines, 'adjust');
  const tightened = adjusted.filter((line) => isTightened(line, fasteners));
  const others = adjusted.filter((line) => !tightened.includes(line));
  return [
    ...stepIf('drain', work.opensCircuit ? drainText(context) : null),
    ...stepsByCircuit('clean', partLines(lines, 'clean'), context, (some) => partsStep('step-clean', some)),
    ...stepIf('flush', work.flushes ? flushText(lines, context) : null),
    // A belt comes off before the part behind it, and goes on after it.
    ...stepsByCircuit('remove', replaced, context, (some) => removeText(some, work)).reverse(),
    ...stepsByCircuit('fit', replaced, context, fitText),
    ...stepsByCircuit('adjust', others, context, (some) => partsStep('step-adjust', some)),
    ...stepsByCircuit('adjust', tightened, context, (some) => partsStep('step-tighten-fasteners', some)),
    ...stepIf('torque', torqueText(context)),
    ...stepIf('belt', work.belt ? message('step-belt') : null),
    ...stepIf('belt', tensionText(context)),
  ];
}

function drainText({ work, coolant }: StepContext): Message {
  const amount = coolant?.comesOut ?? null;
  if (work.opens === 'some')
    return amount === null ? message('step-drain-some') : message('step-drain-some-about', { amount });
  return amount === null ? message('step-drain') : message('step-drain-about', { amount });
}

function flushText(lines: readonly WorkLine[], { isElectric }: StepContext): Message {
  if (isElectric) return message('step-flush-by-maker');
  const parts = partsNamed(partLines(lines, 'flush'));
  return parts.length === 0 ? message('step-flush') : message('step-flush-parts', { parts });
}

function removeText(replaced: readonly WorkLine[], { opens }: CardWork): Message | null {
  if (hasTimingBelt(replaced)) return partsStep('step-remove-timed', replaced);
  const isBetweenValves = hasFilter(replaced) && opens !== 'all';
  return partsStep(isBetweenValves ? 'step-remove-filter' : 'step-remove', replaced);
}

function fitText(replaced: readonly WorkLine[]): Message | null {
  const part = partsNamed(replaced);
  if (part.length === 0) return null;
  const after = hasTimingBelt(replaced) ? 'timing' : hasFilter(replaced) ? 'filter' : 'nothing';
  return part.length === 1 ? message('step-fit-part', { part, after }) : message('step-fit-parts', { after });
}

const hasTimingBelt = (lines: readonly WorkLine[]): boolean =>
  lines.some(({ component }) => component === 'timing-belt');

const hasFilter = (lines: readonly WorkLine[]): boolean =>
  lines.some(({ component }) => component === 'coolant-filter');

function tensionText({ belts }: StepContext): Message | null {
  const byHand = belts.flatMap(({ tension }) => tension ?? []);
  if (byHand.length === 0) return null;
  return message('step-belt-tension', { isNew: byHand.some(({ newBelt }) => newBelt) ? 'yes' : 'no' });
}

function torqueText({ work, fasteners }: StepContext): Message | null {
  if (fasteners.length === 0) return work.bolts ? message('step-torque-by-maker') : null;
  const isTurned = fasteners.some(({ angle }) => angle !== null);
  return message('step-torque', { turned: isTurned ? 'yes' : 'no' });
}
