import { COOL_DOWN, fillingSteps, FIRST_RUN } from '../filling/filling-steps.js';
import { MIXING_WATER } from '../coolant/water.js';
import { FOLLOW_UP_LIMITS, HOURS_PER_KM } from '../follow-ups/follow-up-line.js';
import type { Action, WorkLine } from '../intervals/types.js';
import type { UnitSystem } from '../quantities/measures.js';
import { fillText, vacuumLeaves } from './filling.js';
import { isTightened } from './fasteners-for-job.js';
import { holdTestInWords } from './hold-test-for-job.js';
import type { StepContext } from './step-context.js';
import { distanceInWords, inWords, partInWords } from './words.js';

export const STEPS = [
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
  text: string;
}

/** A hose that can be held in the hand, in round figures; common practice. */
const COOL_TO_THE_HAND: Readonly<Record<UnitSystem, string>> = { us: '120 °F', si: '50 °C' };

const GAS_TEST =
  'Combustion-gas test: engine cold, lower the level so that the tester draws in no coolant, and fit it';

/** Common practice, no published source. */
const GAS_PROOF = `${GAS_TEST}; then run the engine hot and under load. A negative one closes the finding; if the fluid changes colour: park it. Let it cool before the tester comes off`;

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
  const { work, coolant, additive, holdTest, proofTest, fasteners, units, practice } = context;
  const steps: Step[] = [];
  const add = (step: StepName, text: string | null): void => {
    if (text !== null) steps.push({ step, text });
  };
  const named = (wanted: readonly WorkLine[]): string | null =>
    wanted.length === 0 ? null : [...new Set(wanted.map(partInWords))].join(', ');
  const done = (...actions: Action[]): WorkLine[] =>
    lines.filter((line) => line.component !== 'coolant' && actions.includes(line.action));
  const parts = (...actions: Action[]): string | null => named(done(...actions));
  const withThe = (verb: string, which: string | null): string | null =>
    which === null ? null : `${verb}: ${which}`;
  const withParts = (verb: string, ...actions: Action[]): string | null => withThe(verb, parts(...actions));

  const hasTimingBelt = lines.some(
    ({ component, action }) => component === 'timing-belt' && action === 'replace',
  );

  if (work.needsCool || proofTest !== null) add('cool', coolText());
  add('inspect', withParts('Inspect', 'inspect', 'recheck'));
  add('test', withParts('Test', 'test'));
  if (work.testsForGas) {
    add('test', `${GAS_TEST}; then warm the engine up. If the fluid changes colour: park it`);
    if (work.opensCircuit || work.adjustsStrength || work.filter) steps.push(COOL_DOWN);
  }
  if (work.readsStrength && (!work.opensCircuit || work.adjustsStrength))
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
  add('remove', removeText());
  add('fit', fitText());
  const tightened = done('adjust').filter((line) => isTightened(line, fasteners));
  const others = done('adjust').filter((line) => !tightened.includes(line));
  add('adjust', withThe('Adjust', named(others)));
  add('adjust', withThe('Tighten the fasteners of', named(tightened)));
  if (fasteners.length > 0) add('torque', torqueText());
  else if (work.bolts) add('torque', `Tighten ${SEE_MAKER}`);
  if (work.belt)
    add(
      'belt',
      "Belt: every rib seated, pulleys in line within 0.33°, tensioner in range; routed by the vehicle maker's diagram",
    );
  const hold = work.holdTest ? holdText() : null;
  const filling = work.opensCircuit
    ? fillingSteps({
        fill: fillText(context),
        vacuumLeaves: vacuumLeaves(context),
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
  if (work.doses) add('dose', doseText());
  if (filling !== null || work.adjustsStrength || work.doses) steps.push(...firstRun());
  else if (work.readsLevel) add('top-up', 'Top up to the mark with the same coolant, and note how much');
  if (work.runs)
    add(
      'road-test',
      `${context.isHourOnly ? 'Run it under load' : 'Road test'}: temperature steady, no warning lamp, no leak, no belt noise`,
    );
  if (work.opensCircuit) add('recheck', recheckText());
  return steps;

  function fitText(): string | null {
    const fitted = parts('replace');
    if (fitted === null) return null;
    const fit = fitted.includes(',') ? 'Fit the new parts, seats clean, seals new' : `Fit new: ${fitted}`;
    if (hasTimingBelt) return `${fit}. Turn the engine twice by hand and check the timing marks`;
    return work.filter ? `${fit}. Open the filter's shut-offs again` : fit;
  }

  function removeText(): string | null {
    const remove = withParts('Remove', 'replace');
    if (hasTimingBelt) return `Set the engine on its timing marks. ${remove}`;
    if (remove === null || !work.filter || work.opens === 'all') return remove;
    return `Close both shut-offs of the coolant filter; without shut-offs, drain to below it first. ${remove}`;
  }

  /**
   * Where a part that let combustion gas in is new, the test is fitted once the engine is cold
   * again, and the level brought back after it.
   */
  function firstRun(): Step[] {
    const isMixed = filling !== null || work.adjustsStrength;
    return (filling?.finish ?? FIRST_RUN)
      .filter(({ step }) => isMixed || step !== 'read-strength')
      .flatMap((step): Step[] =>
        step === COOL_DOWN && work.provesNoGas ? [step, { step: 'test', text: GAS_PROOF }] : [step],
      );
  }

  function torqueText(): string {
    const isTurned = fasteners.some(({ angle }) => angle !== null);
    return `Tighten to the torques on this card${isTurned ? ', then by the angle given' : ''}`;
  }

  function doseText(): string {
    return additive === null
      ? 'Add additive as its label says, for the capacity on this card'
      : `Add ${additive.text}`;
  }

  function coolText(): string {
    return `Engine off, stood until the upper hose is cool to the hand, below about ${COOL_TO_THE_HAND[units]}; ease the cap to its first stop under a rag`;
  }

  function drainText(): string {
    const out = coolant?.comesOut ?? null;
    const about = out === null ? '' : `, about ${inWords('volume', out.value, units)}`;
    return work.opens === 'some'
      ? `Drain to just below the part; catch it clean, to pour it back${about}`
      : `Drain the coolant, catch and measure it${about}`;
  }

  function flushedParts(): string {
    const flushed = parts('flush');
    return flushed === null ? '' : `: ${flushed}`;
  }

  function holdText(): string {
    if (holdTest === null) return `Hold test ${SEE_MAKER}`;
    return `Hold test by ${holdTest.method}, engine cold. ${holdTestInWords(holdTest, units, practice)}`;
  }

  function adjustText(): string {
    const adjust = coolant?.adjust ?? null;
    if (coolant === null || adjust === null)
      return 'Bring the strength to the target: work out from the reading what to drain and replace';
    const amount = inWords('volume', adjust.drain.value, units);
    const what = adjust.pour === 'concentrate' ? 'neat concentrate' : MIXING_WATER;
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
