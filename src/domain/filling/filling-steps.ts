import type { MeasureValue, Message } from '../message.js';
import { message } from './messages.js';

/** One step of filling a system. */
export interface FillingStep {
  step: 'prepare-fill' | 'fill' | 'top-up-to-mark' | 'warm-up' | 'cool-down' | 'read-strength' | 'top-up';
  message: Message;
}

/** How a system is filled. */
export interface Filling {
  /** What is poured. */
  fill: Message;
  /**
   * Air that the vacuum leaves; null where the system is not filled by vacuum, or that is not
   * known.
   */
  vacuumLeaves: MeasureValue | null;
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
 * @example fillingSteps({ fill, vacuumLeaves: null, isByVacuum: false }).fill.at(-1)?.step // 'top-up-to-mark'
 */
export function fillingSteps({ fill, vacuumLeaves, isByVacuum }: Filling): FillingSteps {
  const by = isByVacuum ? 'vacuum' : 'pouring';
  const toMark =
    vacuumLeaves === null
      ? message('step-fill-to-mark', { by })
      : message('step-fill-to-mark-air', { by, air: vacuumLeaves });
  return {
    prepare: [{ step: 'prepare-fill', message: message('step-prepare-fill', { by }) }],
    fill: [
      { step: 'fill', message: fill },
      { step: 'top-up-to-mark', message: toMark },
    ],
    finish: [...FIRST_RUN],
  };
}

export const COOL_DOWN: FillingStep = { step: 'cool-down', message: message('step-cool-down') };

/**
 * From the first start after coolant was poured in until the engine is cold again. The cap stays
 * on until then: the strength is read, and coolant topped up, on a cold engine. Common practice,
 * no published source.
 */
export const FIRST_RUN: readonly FillingStep[] = [
  { step: 'warm-up', message: message('step-warm-up') },
  COOL_DOWN,
  { step: 'read-strength', message: message('step-read-strength') },
  { step: 'top-up', message: message('step-top-up') },
];
