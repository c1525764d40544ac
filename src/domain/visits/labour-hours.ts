import type { Action, Component } from '../intervals/types.js';
import { AT_THE_BELT, workOf } from '../job-card/work/card-work.js';

/** Work that opens the way to a part, and is done once a visit however many lines need it. */
export const PREPARATIONS = ['take-in', 'belt-off', 'part-drain', 'drain-and-fill'] as const;
export type Preparation = (typeof PREPARATIONS)[number];

/** Hours of one preparation. Common practice, no source: vehicles differ widely. */
const PREPARATION_HOURS: Readonly<Record<Preparation, number>> = {
  'take-in': 0.3,
  'belt-off': 0.5,
  // Down to below a part high up, and filled up again.
  'part-drain': 0.5,
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
  'head-gasket': 12,
  'injector-sleeve': 5,
  'timing-belt': 3,
  'temperature-sensor': 0.4,
  'electric-coolant-pump': 1.2,
  chiller: 2.5,
  'coolant-heater': 1.5,
  'coolant-valve': 0.8,
  'degas-bottle': 0.5,
  'fan-clutch': 1.2,
  other: 1,
};

/** Hours of work that replaces nothing. Common practice, no source. */
const OTHER_HOURS: Readonly<Record<Exclude<Action, 'replace'>, number>> = {
  inspect: 0.2,
  test: 0.4,
  adjust: 0.3,
  clean: 0.5,
  flush: 1,
  recheck: 0.3,
};

type Work = { component: Component; action: Action };

/** What a spec sheet says of its own; what it leaves out is as for any vehicle. */
export interface LabourRules {
  preparations?: Partial<Record<Preparation, number>> | null;
  lines?: readonly LabourRule[] | null;
}

export interface LabourRule {
  component: Component;
  action: Action;
  /** Once the way to it is open. */
  hours: number;
  /** Besides taking the vehicle in; left out: as for any vehicle. */
  preparations?: readonly Preparation[] | null;
}

/** Hours of a line alone, and of the access work for it. */
export interface LineLabour {
  ownHours: number;
  opening: Readonly<Partial<Record<Preparation, number>>>;
}

/** What opens the way to a line. @example preparationsOf({ component: 'coolant', action: 'flush' }) // ['take-in', 'drain-and-fill'] */
export function preparationsOf({ component, action }: Work): Preparation[] {
  const found: Preparation[] = ['take-in'];
  if (action === 'replace' && AT_THE_BELT.has(component)) found.push('belt-off');
  // As the job card has it.
  const { opens } = workOf([{ component, action, item: null }]);
  if (opens === 'some') found.push('part-drain');
  if (opens === 'all') found.push('drain-and-fill');
  return found;
}

/**
 * The hours that a line takes, by its spec sheet where that says so.
 *
 * @param rules of the sheet; null: none
 * @example labourOf({ component: 'water-pump', action: 'replace' }, null)
 * // { ownHours: 2, opening: { 'take-in': 0.3, 'belt-off': 0.5, 'part-drain': 0.5,
 * 'drain-and-fill': 1 } }
 */
export function labourOf(work: Work, rules: LabourRules | null): LineLabour {
  const rule = rules?.lines?.find(
    ({ component, action }) => component === work.component && action === work.action,
  );
  const own = work.action === 'replace' ? REPLACE_HOURS[work.component] : OTHER_HOURS[work.action];
  const names = rule?.preparations ? ['take-in' as const, ...rule.preparations] : preparationsOf(work);
  return { ownHours: rule?.hours ?? own, opening: openingHours(names, rules) };
}

/**
 * Hours of preparations. Draining all begins with draining a part, so that lines which need the one
 * and the other take the longer of the two.
 */
function openingHours(names: readonly Preparation[], rules: LabourRules | null): LineLabour['opening'] {
  const hoursOf = (name: Preparation): number => rules?.preparations?.[name] ?? PREPARATION_HOURS[name];
  const opening: Partial<Record<Preparation, number>> = {};
  for (const name of names) opening[name] = hoursOf(name);
  const whole = hoursOf('drain-and-fill');
  const part = Math.min(whole, hoursOf('part-drain'));
  if (names.includes('part-drain')) opening['part-drain'] = part;
  if (names.includes('drain-and-fill'))
    Object.assign(opening, { 'part-drain': part, 'drain-and-fill': whole - part });
  return opening;
}

/**
 * Hours of lines done together on one vehicle: each line's own, and each preparation once. Pump,
 * belt and coolant together take fewer hours than one by one.
 *
 * @example visitHours of replacing pump and coolant // 0.3 + 0.5 + 1.5 + 2 + 0.3 = 4.6
 */
export function visitHours(lines: readonly { labour: LineLabour }[]): number {
  let hours = 0;
  for (const { labour } of lines) hours += labour.ownHours;
  for (const name of PREPARATIONS) {
    let opening = 0;
    for (const { labour } of lines) opening = Math.max(opening, labour.opening[name] ?? 0);
    hours += opening;
  }
  return hours;
}
