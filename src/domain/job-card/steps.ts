import { FOLLOW_UP_LIMITS, HOURS_PER_KM } from '../intervals/follow-up-line.js';
import type { Action, WorkLine } from '../intervals/types.js';
import type { UnitSystem } from '../quantities/measures.js';
import type { HoldTestForJob } from './hold-test-for-job.js';
import { fillText, topUpText, warmUpText } from './filling.js';
import type { StepContext } from './step-context.js';
import { distanceInWords, inWords, partInWords } from './words.js';

export const STEPS = [
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
  'hold-test',
  'fill',
  'proof-test',
  'adjust-strength',
  'warm-up',
  'top-up',
  'road-test',
  'recheck',
] as const;
export type StepName = (typeof STEPS)[number];

/** One step of a job, to be ticked off. */
export interface Step {
  step: StepName;
  text: string;
}

/** A hose that can be held in the hand, in round figures; common practice. */
const COOL_TO_THE_HAND: Readonly<Record<UnitSystem, string>> = { us: '120 °F', si: '50 °C' };

const SEE_MAKER = "by the vehicle maker's information";

/**
 * The steps of a job in the order to do them, for the work asked alone. A vacuum test comes before the fill, which it prepares; a pressure test is made on a filled system.
 *
 * Source: common practice for the order.
 *
 * @param lines what is to be done
 * @example stepsOf([{ component: 'drive-belt', action: 'inspect', item: null }], context).map(({ step }) => step) // ['inspect', 'belt']
 */
export function stepsOf(lines: readonly WorkLine[], context: StepContext): Step[] {
  const { work, coolant, holdTest, proofTest, fastenerGroups, units } = context;
  const steps: Step[] = [];
  const add = (step: StepName, text: string | null): void => {
    if (text !== null) steps.push({ step, text });
  };
  const parts = (...actions: Action[]): string | null => {
    const named = lines
      .filter((line) => line.component !== 'coolant' && actions.includes(line.action))
      .map(partInWords);
    return named.length === 0 ? null : [...new Set(named)].join(', ');
  };
  const withParts = (verb: string, ...actions: Action[]): string | null => {
    const named = parts(...actions);
    return named === null ? null : `${verb}: ${named}`;
  };

  const hasTimingBelt = lines.some(
    ({ component, action }) => component === 'timing-belt' && action === 'replace',
  );

  add('inspect', withParts('Inspect', 'inspect', 'recheck'));
  add('test', withParts('Test', 'test'));
  if (work.testsForGas) add('test', gasText());
  if (work.readsStrength && (!work.opensCircuit || work.adjustsStrength))
    add('read-strength', 'Read the strength of a mixed sample on a scale for its base');
  if (!work.opensCircuit && work.readsLevel)
    add('read-level', 'Read the level with the engine cold, before adding anything');
  if (work.opensCircuit) add('drain', drainText());
  add('clean', withParts('Clean', 'clean'));
  if (work.flushes) add('flush', `Flush with clean water until it runs clear${flushedParts()}`);
  add('remove', removeText());
  add('fit', fitText());
  add('adjust', withParts('Adjust', 'adjust'));
  if (fastenerGroups > 0) add('torque', 'Tighten to the torques on this card');
  else if (work.bolts) add('torque', `Tighten ${SEE_MAKER}`);
  if (work.belt)
    add(
      'belt',
      "Belt: every rib seated, pulleys in line within 0.33°, tensioner in range; routed by the vehicle maker's diagram",
    );
  const hold = work.holdTest ? holdText() : null;
  const fill = work.opensCircuit ? fillText(context) : null;
  if (holdTest?.method === 'pressure') {
    add('fill', fill);
    add('hold-test', hold);
  } else {
    add('hold-test', hold);
    add('fill', fill);
  }
  if (proofTest !== null)
    add('proof-test', `Coolant was being lost. Filled and cold, ${lowerFirst(holdWords(proofTest))}`);
  if (work.adjustsStrength) add('adjust-strength', adjustText());
  if (work.opensCircuit || work.adjustsStrength) add('warm-up', warmUpText());
  if (work.readsLevel) add('top-up', topUpText(context));
  if (work.runs)
    add(
      'road-test',
      `${context.isHourOnly ? 'Run it under load' : 'Road test'}: temperature steady, no warning lamp, no leak, no belt noise`,
    );
  if (work.opensCircuit) add('recheck', recheckText());
  return steps;

  function fitText(): string | null {
    const named = parts('replace');
    if (named === null) return null;
    const fit = named.includes(',') ? 'Fit the new parts, seats clean, seals new' : `Fit new: ${named}`;
    if (hasTimingBelt) return `${fit}. Turn the engine twice by hand and check the timing marks`;
    return work.filter ? `${fit}. Open the filter's shut-offs again` : fit;
  }

  function removeText(): string | null {
    const remove = withParts('Remove', 'replace');
    if (hasTimingBelt) return `Set the engine on its timing marks. ${remove}`;
    if (remove === null || !work.filter || work.opens === 'all') return remove;
    return `Close both shut-offs of the coolant filter; without shut-offs, drain to below it first. ${remove}`;
  }

  function gasText(): string {
    return 'Combustion-gas test: engine cold, lower the level so that the tester draws in no coolant, and fit it; then warm the engine up. If the fluid changes colour: park it';
  }

  function drainText(): string {
    const cooled = `Engine off, stood until the upper hose is cool to the hand, below about ${COOL_TO_THE_HAND[units]}; ease the cap to its first stop under a rag`;
    const out = coolant?.comesOut ?? null;
    const about = out === null ? '' : `, about ${inWords('volume', out.value, units)}`;
    return work.opens === 'some'
      ? `${cooled}. Drain to just below the part; catch it clean, to pour it back${about}`
      : `${cooled}. Drain the coolant, catch and measure it${about}`;
  }

  function flushedParts(): string {
    const named = parts('flush');
    return named === null ? '' : `: ${named}`;
  }

  function holdText(): string {
    return holdTest === null ? `Hold test ${SEE_MAKER}` : holdWords(holdTest);
  }

  function holdWords({ method, target, minutes, allowedLoss }: HoldTestForJob): string {
    const to = target === null ? SEE_MAKER : `to ${inWords(method, target.value, units)}`;
    return `Hold test by ${method} ${to}, ${minutes} min; it may lose ${inWords(method, allowedLoss.value, units)}`;
  }

  function adjustText(): string {
    const adjust = coolant?.adjust ?? null;
    if (coolant === null || adjust === null)
      return 'Bring the strength to the target: work out from the reading what to drain and replace';
    const amount = inWords('volume', adjust.drain.value, units);
    const what = adjust.pour === 'concentrate' ? 'neat concentrate' : 'water';
    return `Drain ${amount} and pour in as much ${what}, to come to ${coolant.targetStrengthPercent} %`;
  }

  function recheckText(): string {
    const { dueDays, dueKm } = FOLLOW_UP_LIMITS.recheck;
    const first = context.isHourOnly ? 'run' : 'drive';
    return `Recheck the level, cold, after the first ${first}: within ${dueDays} days${dueKm === null ? '' : ` or ${afterFirst(dueKm)}`}`;
  }

  function afterFirst(km: number): string {
    return context.isHourOnly
      ? inWords('engine-hours', km * HOURS_PER_KM, units)
      : distanceInWords(km, units);
  }
}

function lowerFirst(text: string): string {
  return text.charAt(0).toLowerCase() + text.slice(1);
}
