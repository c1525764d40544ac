import type { Action, Component } from '../intervals/types.js';

/** Work that opens the way to a part, and is done once a visit however many lines need it. */
export const PREPARATIONS = ['take-in', 'belt-off', 'drain-and-fill'] as const;
export type Preparation = (typeof PREPARATIONS)[number];

/** Hours of one preparation. Common practice, no source: vehicles differ widely. */
export const PREPARATION_HOURS: Readonly<Record<Preparation, number>> = {
  'take-in': 0.3,
  'belt-off': 0.5,
  'drain-and-fill': 1.5,
};

/** Hours of replacing a part once the way to it is open. Common practice, no source. */
const REPLACE_HOURS: Readonly<Record<Component, number>> = {
  coolant: 0.3,
  'water-pump': 2,
  'drive-belt': 0.3,
  tensioner: 0.5,
  idler: 0.4,
  thermostat: 0.7,
  radiator: 3,
  'radiator-cap': 0.1,
  'upper-hose': 0.4,
  'lower-hose': 0.6,
  'heater-hose': 0.6,
  'bypass-hose': 0.8,
  'hose-clamp': 0.1,
  'fan-drive': 1.2,
  'fan-shroud': 0.7,
  reservoir: 0.5,
  'heater-core': 5,
  'coolant-filter': 0.3,
  'oil-cooler': 2.5,
  'egr-cooler': 3,
  'timing-belt': 3,
  'temperature-sensor': 0.4,
  other: 1,
};

/** Hours of whatever replaces nothing. Common practice, no source. */
const OTHER_HOURS: Readonly<Record<Exclude<Action, 'replace'>, number>> = {
  inspect: 0.2,
  test: 0.4,
  adjust: 0.3,
  clean: 0.5,
  flush: 1,
  recheck: 0.3,
};

const BELT_OFF = new Set<Component>([
  'water-pump',
  'drive-belt',
  'tensioner',
  'idler',
  'fan-drive',
  'timing-belt',
]);
const DRAINED = new Set<Component>([
  'coolant',
  'water-pump',
  'thermostat',
  'radiator',
  'upper-hose',
  'lower-hose',
  'heater-hose',
  'bypass-hose',
  'heater-core',
  'oil-cooler',
  'egr-cooler',
]);

type Work = { component: Component; action: Action };

/** Hours of a line alone, without what opens the way to it. @example ownHours({ component: 'water-pump', action: 'replace' }) // 2 */
export function ownHours({ component, action }: Work): number {
  return action === 'replace' ? REPLACE_HOURS[component] : OTHER_HOURS[action];
}

/** What opens the way to a line. @example preparationsOf({ component: 'coolant', action: 'flush' }) // ['take-in', 'drain-and-fill'] */
export function preparationsOf({ component, action }: Work): Preparation[] {
  const found: Preparation[] = ['take-in'];
  if (action === 'replace' && BELT_OFF.has(component)) found.push('belt-off');
  if ((action === 'replace' || action === 'flush') && DRAINED.has(component)) found.push('drain-and-fill');
  return found;
}

/**
 * Hours of lines done together on one vehicle: each line's own, and each preparation once. Pump, belt and coolant together take
 * fewer hours than one by one.
 *
 * @example visitHours([{ component: 'water-pump', action: 'replace' }, { component: 'coolant', action: 'replace' }]) // 4.6
 */
export function visitHours(lines: readonly Work[]): number {
  const preparations = new Set(lines.flatMap(preparationsOf));
  const opening = [...preparations].reduce((sum, name) => sum + PREPARATION_HOURS[name], 0);
  return lines.reduce((sum, line) => sum + ownHours(line), opening);
}
