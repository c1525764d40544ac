import type { Words } from '../message.js';

/** One step by which a system is filled. */
export interface FillingStep {
  step: 'prepare-fill' | 'fill' | 'top-up-to-mark' | 'warm-up' | 'cool-down' | 'read-strength' | 'top-up';
  text: Words;
}

/** How a system is filled. */
export interface Filling {
  /** What is poured, as a sentence. */
  fill: Words;
  /**
   * Air that the vacuum leaves, with its unit. Null where the system is not filled by vacuum, or
   * where that is not known.
   */
  vacuumLeaves: string | null;
  isByVacuum: boolean;
}

/** The steps of a fill by when they are done. A hold test goes between the parts. */
export interface FillingSteps {
  /** Before a vacuum is pulled, or the first coolant poured. */
  prepare: FillingStep[];
  /** Before the engine is started. */
  fill: FillingStep[];
  /** From the first start until the engine is cold again. */
  finish: FillingStep[];
}

/**
 * How to fill a system so that no air stays in it. It is topped up to the mark before the engine is
 * started: air that a vacuum left would be pumped into the heater and the head.
 *
 * Source: common practice, no published source.
 *
 * @example fillingSteps({ fill: 'Fill: 9.5 L', vacuumLeaves: null, isByVacuum: false }).fill.at(-1)?.step // 'top-up-to-mark'
 */
export function fillingSteps({ fill, vacuumLeaves, isByVacuum }: Filling): FillingSteps {
  const prepare = isByVacuum
    ? 'Set the heater on full. Keep the bleeders closed while the vacuum is pulled and draws the coolant in'
    : 'Open the bleeders and set the heater on full';
  const bleed = isByVacuum
    ? 'Open the bleeders until coolant runs out without bubbles, then close them'
    : 'Close each bleeder once coolant runs out without bubbles';
  const leaves = vacuumLeaves === null ? '' : `; the vacuum leaves up to ${vacuumLeaves} of air`;
  return {
    prepare: [{ step: 'prepare-fill', text: prepare }],
    fill: [
      { step: 'fill', text: fill },
      {
        step: 'top-up-to-mark',
        text: `${bleed}. Top up to the mark before starting the engine${leaves}. Note all that went in`,
      },
    ],
    finish: [...FIRST_RUN],
  };
}

export const COOL_DOWN: FillingStep = {
  step: 'cool-down',
  text: 'Stop; let it cool until the upper hose is cool to the hand',
};

/**
 * From the first start after coolant was poured in until the engine is cold again. The cap stays
 * on until then: the strength is read, and coolant topped up, on a cold engine. Common practice,
 * no published source.
 */
export const FIRST_RUN: readonly FillingStep[] = [
  {
    step: 'warm-up',
    text: 'Warm up until the thermostat opens and the heater is hot; fan comes on where fitted, temperature steady, no leak',
  },
  COOL_DOWN,
  { step: 'read-strength', text: 'Cold, read the strength' },
  { step: 'top-up', text: 'Cold, top up to the mark, and note how much' },
];
