import { MIXING_WATER } from '../../coolant/water.js';
import type { WorkLine } from '../../intervals/types.js';
import { isTightened } from '../to-bring/fasteners-for-job.js';
import { type CardWork, partLines } from '../work/card-work.js';
import { inWords, partsInWords, withParts } from '../work/words.js';
import type { StepContext } from './step-context.js';
import { type Step, stepIf } from './steps.js';

/**
 * From the coolant that is drained to the belt that is back on: what is taken apart, cleaned,
 * renewed and tightened.
 *
 * Source: common practice, no published source.
 */
export function takingApartSteps(lines: readonly WorkLine[], context: StepContext): Step[] {
  const { work, fasteners } = context;
  const adjusted = partLines(lines, 'adjust');
  const tightened = adjusted.filter((line) => isTightened(line, fasteners));
  const others = adjusted.filter((line) => !tightened.includes(line));
  return [
    ...stepIf('drain', work.opensCircuit ? drainText(context) : null),
    ...stepIf('clean', withParts('Clean', partLines(lines, 'clean'))),
    ...stepIf('flush', work.flushes ? flushText(lines) : null),
    ...stepIf('remove', removeText(lines, work)),
    ...stepIf('fit', fitText(lines, work)),
    ...stepIf('adjust', withParts('Adjust', others)),
    ...stepIf('adjust', withParts('Tighten the fasteners of', tightened)),
    ...stepIf('torque', torqueText(context)),
    ...stepIf('belt', work.belt ? BELT_ON : null),
  ];
}

const BELT_ON =
  "Belt: every rib seated, pulleys in line within 0.33°, tensioner in range; routed by the vehicle maker's diagram";

function drainText({ work, coolant, units }: StepContext): string {
  const out = coolant?.comesOut ?? null;
  const about = out === null ? '' : `, about ${inWords('volume', out.value, units)}`;
  return work.opens === 'some'
    ? `Drain to just below the part; catch it clean, to pour it back${about}`
    : `Drain the coolant, catch and measure it${about}`;
}

function flushText(lines: readonly WorkLine[]): string {
  const flushed = partsInWords(partLines(lines, 'flush'));
  return `Flush with water until it runs clear${flushed === null ? '' : `: ${flushed}`}. Rinse last with ${MIXING_WATER}; tap water only in an emergency, noted in the report`;
}

function removeText(lines: readonly WorkLine[], work: CardWork): string | null {
  const remove = withParts('Remove', partLines(lines, 'replace'));
  if (hasTimingBelt(lines)) return `Set the engine on its timing marks. ${remove}`;
  if (remove === null || !work.filter || work.opens === 'all') return remove;
  return `Close both shut-offs of the coolant filter; without shut-offs, drain to below it first. ${remove}`;
}

function fitText(lines: readonly WorkLine[], work: CardWork): string | null {
  const fitted = partsInWords(partLines(lines, 'replace'));
  if (fitted === null) return null;
  const fit = fitted.includes(',') ? 'Fit the new parts, seats clean, seals new' : `Fit new: ${fitted}`;
  if (hasTimingBelt(lines)) return `${fit}. Turn the engine twice by hand and check the timing marks`;
  return work.filter ? `${fit}. Open the filter's shut-offs again` : fit;
}

function hasTimingBelt(lines: readonly WorkLine[]): boolean {
  return partLines(lines, 'replace').some(({ component }) => component === 'timing-belt');
}

function torqueText({ work, fasteners }: StepContext): string | null {
  if (fasteners.length === 0) return work.bolts ? "Tighten by the vehicle maker's information" : null;
  const isTurned = fasteners.some(({ angle }) => angle !== null);
  return `Tighten to the torques on this card${isTurned ? ', then by the angle given' : ''}`;
}
