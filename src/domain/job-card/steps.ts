import type { CommonPractice } from '../checks/common-practice.js';
import { FOLLOW_UP_LIMITS } from '../intervals/follow-up-line.js';
import type { Action, WorkLine } from '../intervals/types.js';
import { fillingSteps, WARM_UP } from '../coolant/filling-steps.js';
import { MIXING_WATER } from '../coolant/water.js';
import { airLeftFraction } from '../pressure/vacuum-fill.js';
import type { UnitSystem } from '../quantities/measures.js';
import type { CardWork } from './card-work.js';
import type { CoolantForJob } from './coolant-for-job.js';
import { type HoldTestForJob, holdTestInWords } from './hold-test-for-job.js';
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
  'prepare-fill',
  'hold-test',
  'fill',
  'top-up-to-mark',
  'proof-test',
  'adjust-strength',
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
  text: string;
}

/** What the steps are worded from. */
export interface StepContext {
  work: CardWork;
  coolant: CoolantForJob | null;
  holdTest: HoldTestForJob | null;
  proofTest: HoldTestForJob | null;
  /** kPa absolute at the place of work. */
  atmosphereKpa: number;
  /** How many groups of fasteners the card names. */
  fastenerGroups: number;
  units: UnitSystem;
  practice: CommonPractice;
}

const SEE_MAKER = "by the vehicle maker's information";

/**
 * The steps of a job in the order to do them, for the work asked alone. A vacuum test comes before the fill, which it prepares; a pressure test is made on a filled system.
 *
 * Source: common practice for the order; expected air after a vacuum fill by Boyle's law (`airLeftFraction`).
 *
 * @param lines what is to be done
 * @example stepsOf([{ component: 'drive-belt', action: 'inspect', item: null }], context).map(({ step }) => step) // ['inspect', 'belt']
 */
export function stepsOf(lines: readonly WorkLine[], context: StepContext): Step[] {
  const { work, coolant, holdTest, proofTest, fastenerGroups, units, practice } = context;
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

  add('inspect', withParts('Inspect', 'inspect', 'recheck'));
  add('test', withParts('Test', 'test'));
  if (!work.opensCircuit && work.readsStrength)
    add('read-strength', 'Read the strength of a mixed sample on a scale for its base');
  if (!work.opensCircuit && work.readsLevel)
    add('read-level', 'Read the level with the engine cold, before adding anything');
  if (work.opensCircuit) add('drain', drainText());
  add('clean', withParts('Clean', 'clean'));
  if (work.flushes)
    add(
      'flush',
      `Flush with water until it runs clear${flushedParts()}. Rinse last with ${MIXING_WATER}; tap water only in an emergency, noted in the report`,
    );
  add('remove', withParts('Remove', 'replace'));
  add('fit', fitText());
  add('adjust', withParts('Adjust', 'adjust'));
  if (work.fastens)
    add('torque', fastenerGroups > 0 ? 'Tighten to the torques on this card' : `Tighten ${SEE_MAKER}`);
  if (work.belt)
    add(
      'belt',
      "Belt: every rib seated, pulleys in line within 0.33°, tensioner in range; routed by the vehicle maker's diagram",
    );
  const hold = work.holdTest ? holdText() : null;
  const filling = work.opensCircuit
    ? fillingSteps({
        fill: fillText(),
        vacuumLeaves: vacuumLeaves(),
        isByVacuum: holdTest?.method === 'vacuum',
      })
    : null;
  steps.push(...(filling?.prepare ?? []));
  if (holdTest?.method !== 'pressure') add('hold-test', hold);
  steps.push(...(filling?.fill ?? []));
  if (holdTest?.method === 'pressure') add('hold-test', hold);
  if (proofTest !== null)
    add(
      'proof-test',
      `Coolant was being lost: hold test by ${proofTest.method}, filled and cold. ${holdTestInWords(proofTest, units, practice)}`,
    );
  if (work.adjustsStrength) add('adjust-strength', adjustText());
  if (work.adjustsStrength) add('warm-up', WARM_UP);
  steps.push(...(filling?.finish ?? []));
  if (work.readsLevel && filling === null)
    add('top-up', 'Top up to the mark with the same coolant, and note how much');
  if (work.runs) add('road-test', 'Road test: temperature steady, no warning lamp, no leak, no belt noise');
  if (work.opensCircuit) add('recheck', recheckText());
  return steps;

  function fitText(): string | null {
    const named = parts('replace');
    if (named === null) return null;
    return named.includes(',') ? 'Fit the new parts, seats clean, seals new' : `Fit new: ${named}`;
  }

  function drainText(): string {
    const { drains } = coolant ?? {};
    const expected = drains ? `, about ${inWords('volume', drains.value, units)}` : '';
    return `Cap cool to the touch: drain the coolant, catch and measure it${expected}`;
  }

  function flushedParts(): string {
    const named = parts('flush');
    return named === null ? '' : `: ${named}`;
  }

  function holdText(): string {
    if (holdTest === null) return `Hold test ${SEE_MAKER}`;
    return `Hold test by ${holdTest.method}, engine cold. ${holdTestInWords(holdTest, units, practice)}`;
  }

  function fillText(): string {
    if (coolant?.bring == null) return `Fill with the coolant named ${SEE_MAKER}`;
    const { bring, premix } = coolant;
    const concentrate = inWords('volume', bring.concentrate.value, units);
    const water = inWords('volume', bring.water.value, units);
    if (work.flushes)
      return `Fill: ${concentrate} of neat concentrate first, then up to ${water} of ${MIXING_WATER}`;
    const ready =
      premix === null
        ? ''
        : ` (or ${inWords('volume', premix.volume.value, units)} ready mixed at ${premix.strengthPercent} %)`;
    return `Fill: ${concentrate} of concentrate mixed with ${water} of ${MIXING_WATER}${ready}`;
  }

  function adjustText(): string {
    const adjust = coolant?.adjust ?? null;
    if (coolant === null || adjust === null)
      return 'Bring the strength to the target: work out from the reading what to drain and replace';
    const amount = inWords('volume', adjust.drain.value, units);
    const what = adjust.pour === 'concentrate' ? 'neat concentrate' : MIXING_WATER;
    return `Drain ${amount} and pour in as much ${what}, to come to ${coolant.targetStrengthPercent} %`;
  }

  function vacuumLeaves(): string | null {
    const target = holdTest?.method === 'vacuum' ? holdTest.target : null;
    const drains = coolant?.drains ?? null;
    if (target === null || drains === null) return null;
    const airL = drains.value * airLeftFraction(target.value, context.atmosphereKpa);
    return inWords('volume', airL, units);
  }

  function recheckText(): string {
    const { dueDays, dueKm } = FOLLOW_UP_LIMITS.recheck;
    const distance = dueKm === null ? '' : ` or ${distanceInWords(dueKm, units)}`;
    return `Recheck the level cold after a heat cycle: within ${dueDays} days${distance}`;
  }
}
