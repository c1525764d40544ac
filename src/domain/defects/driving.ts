import type { Message } from '../message.js';
import { cautionsFor } from '../cautions/cautions.js';
import type { DefectState } from './defect.js';
import { message } from './messages.js';

/**
 * Whether a defect keeps the vehicle from being driven. `undecided` counts as "do not drive": a
 * driver must be satisfied that the vehicle is safe (49 CFR 396.13), and nobody has looked yet.
 */
export const DRIVING = ['undecided', 'stays', 'not-held'] as const;
export type Driving = (typeof DRIVING)[number];

/**
 * What a driver is told. Nothing here calls a vehicle safe: a defect that does not hold it says
 * nothing about others.
 *
 * @param isHeld whether whoever triaged it said that the vehicle stays
 * @example drivingBy('triaged', true) // 'stays'
 */
export function drivingBy(state: DefectState, isHeld: boolean): Driving {
  if (state === 'reported') return 'undecided';
  return state === 'triaged' && isHeld ? 'stays' : 'not-held';
}

/** In words, for the driver. */
export function drivingTold(driving: Driving): Message {
  return message(`driving-${driving}`);
}

/** What a driver with a defect has to mind, until it is settled: to open nothing that is hot. */
export function defectCautions(): Message[] {
  return cautionsFor('road-test');
}
