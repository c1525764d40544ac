import type { Action, Component } from './types.js';

/** How much of the coolant comes out for a job. */
export const OPENINGS = ['none', 'some', 'all'] as const;
export type Opening = (typeof OPENINGS)[number];

/** What is done to what, as far as the coolant circuit goes. */
type Work = Readonly<{ component: Component; action: Action }>;

/**
 * The coolant and the parts that hold or move it, with the share of what drains that comes out when
 * one is replaced, or taken off to be cleaned: 1 is all. The belt drive and the fan are not listed.
 *
 * Source: common practice, no published source. The pump, the lower hose and the coolers are low
 * in the system, so that it is drained for them; for a part high up it is drained to below the
 * part. A coolant filter is changed between its two shut-offs. A cap comes off a cold system, and a
 * clamp is changed or tightened where it sits, so that nothing is drained for them. What "other" is
 * nobody knows.
 */
const SHARE_FOR: Readonly<Partial<Record<Component, number>>> = {
  coolant: 1,
  'water-pump': 1,
  radiator: 1,
  'lower-hose': 1,
  'oil-cooler': 1,
  'egr-cooler': 1,
  'head-gasket': 1,
  'injector-sleeve': 1,
  'upper-hose': 0.3,
  thermostat: 0.3,
  'heater-hose': 0.25,
  'bypass-hose': 0.25,
  'heater-core': 0.25,
  chiller: 1,
  'electric-coolant-pump': 1,
  'coolant-heater': 0.25,
  'coolant-valve': 0.25,
  reservoir: 0.15,
  'degas-bottle': 0.15,
  'temperature-sensor': 0.05,
  'coolant-filter': 0,
  'radiator-cap': 0,
  'hose-clamp': 0,
  other: 0,
};

/**
 * Cleaned from outside, so that nothing comes out: what is cleaned inside is flushed. Common
 * practice.
 */
const CLEANED_OUTSIDE: ReadonlySet<Component> = new Set(['radiator'] satisfies Component[]);

/**
 * Nothing is drained for them, but the level before says nothing about the level after: a filter
 * takes its coolant along, and "other" may have let some out. Common practice.
 */
const MAY_LOWER_LEVEL: ReadonlySet<Component> = new Set(['coolant-filter', 'other'] satisfies Component[]);

/**
 * How much of the coolant comes out when a component is replaced.
 *
 * Source: common practice, no published source.
 *
 * @example openingOf('water-pump') // 'all'
 * @example openingOf('temperature-sensor') // 'some'
 * @example openingOf('coolant-filter') // 'none': it has shut-offs
 */
export function openingOf(component: Component): Opening {
  return openingBy(SHARE_FOR[component] ?? 0);
}

/**
 * The share of what drains that comes out for a piece of work, 0 to 1. A flush takes all of it;
 * inspecting, testing and adjusting a part take none.
 *
 * Source: common practice, no published source.
 *
 * @example shareComingOut({ component: 'reservoir', action: 'replace' }) // 0.15
 */
export function shareComingOut({ component, action }: Work): number {
  if (action === 'flush') return 1;
  return isTakenOff({ component, action }) ? (SHARE_FOR[component] ?? 0) : 0;
}

/** What a share that comes out is called. @example openingBy(0.3) // 'some' */
export function openingBy(share: number): Opening {
  if (share <= 0) return 'none';
  return share < 1 ? 'some' : 'all';
}

/**
 * Whether a piece of work opens the coolant circuit: some or all of the coolant comes out.
 *
 * @example opensCircuit({ component: 'heater-core', action: 'clean' }) // true
 * @example opensCircuit({ component: 'radiator', action: 'clean' }) // false: from outside
 */
export function opensCircuit(work: Work): boolean {
  return shareComingOut(work) > 0;
}

/**
 * Whether work makes the level known before it worthless: the circuit was opened, or some coolant
 * may have been lost without opening it.
 *
 * Source: common practice, no published source.
 *
 * @example endsKnownLevel({ component: 'coolant-filter', action: 'replace' }) // true
 * @example endsKnownLevel({ component: 'hose-clamp', action: 'adjust' }) // false
 */
export function endsKnownLevel(work: Work): boolean {
  return opensCircuit(work) || (isTakenOff(work) && MAY_LOWER_LEVEL.has(work.component));
}

/**
 * Whether a component holds or moves coolant. @example isCircuitPart('drive-belt') // false
 */
export function isCircuitPart(component: Component): boolean {
  return component !== 'coolant' && SHARE_FOR[component] !== undefined;
}

/**
 * Whether work on a component is work in a coolant circuit. @example isInCircuit('coolant') // true
 */
export function isInCircuit(component: Component): boolean {
  return component === 'coolant' || isCircuitPart(component);
}

function isTakenOff({ component, action }: Work): boolean {
  return action === 'replace' || (action === 'clean' && !CLEANED_OUTSIDE.has(component));
}
