import { BESIDE_VEHICLE } from '../cautions/cautions.js';
import type { Component } from '../intervals/types.js';
import type { Message } from '../message.js';
import { told } from '../quantities/told.js';
import { type Quantity, valueIn } from '../quantities/units.js';
import type { DefectState } from './defect.js';
import { message } from './messages.js';

/** What a fleet takes by the labels on its vehicles, from people without an account. */
export const DRIVER_LABELS = ['none', 'defects', 'defects-and-top-ups'] as const;
export type DriverLabels = (typeof DRIVER_LABELS)[number];

/** What a driver can tap after scanning the label on a vehicle, the most urgent first. */
export const TROUBLES = [
  'hot-or-steam',
  'coolant-on-ground',
  'warning-lamp',
  'heater-cold',
  'belt-noise',
  'coolant-added',
  'something-else',
] as const;
export type Trouble = (typeof TROUBLES)[number];

/** What to look at first. A warning lamp alone does not say. */
const ABOUT: Partial<Record<Trouble, Component>> = {
  'hot-or-steam': 'coolant',
  'coolant-on-ground': 'coolant',
  'heater-cold': 'heater-core',
  'belt-noise': 'drive-belt',
  'coolant-added': 'coolant',
};

/** What can be tapped where a fleet takes so much by its labels. */
export function troublesTaken(takes: DriverLabels): Trouble[] {
  return TROUBLES.filter((trouble) => trouble !== 'coolant-added' || takes === 'defects-and-top-ups');
}

/** The amounts of coolant that can be tapped, in litres or in quarts: what a driver can estimate. */
export const AMOUNTS_ADDED = [0.5, 1, 2, 4] as const;

/**
 * What a report by a label seems to be about: by its most urgent trouble that says so. Null when
 * none does.
 *
 * @param troubles in any order
 * @example componentOf(['belt-noise', 'coolant-on-ground']) // 'coolant'
 * @example componentOf(['warning-lamp']) // null
 */
export function componentOf(troubles: readonly Trouble[]): Component | null {
  const telling = TROUBLES.find((trouble) => troubles.includes(trouble) && ABOUT[trouble] !== undefined);
  return telling === undefined ? null : (ABOUT[telling] ?? null);
}

/** A trouble in the driver's words. */
export function troubleTold(trouble: Trouble): Message {
  return message(`trouble-${trouble}`);
}

/** That coolant or water was added, and about how much. */
export function addedTold({ value, unit }: Quantity): Message {
  return message('trouble-coolant-added-about', {
    amount: told('volume', valueIn({ value, unit }, 'L'), unit),
  });
}

/** How far the workshop has got with a report, for whoever sent it. */
export function progressTold(state: DefectState): Message {
  return message(`report-${state}`);
}

/** What anybody beside a vehicle in trouble has to mind, before the report is sent and after. */
export function driverCautions(): Message[] {
  return [...BESIDE_VEHICLE];
}

/**
 * How many reports by the label of one vehicle may wait until somebody looks at them. One more
 * would tell the workshop nothing new. Common practice, no source.
 */
export const MOST_UNSEEN = 5;
