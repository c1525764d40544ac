import type { Action, Component } from './types.js';

/** How much of the coolant comes out for a job. */
export const OPENINGS = ['none', 'some', 'all'] as const;
export type Opening = (typeof OPENINGS)[number];

/**
 * The share of what drains that comes out when a part is replaced: 1 is all. A part that is not
 * listed opens nothing.
 *
 * Source: common practice, no published source. The pump, the lower hose and the coolers are low
 * in the system, so that it is drained for them; for a part high up it is drained to below the
 * part. A coolant filter is changed between its two shut-offs.
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
  reservoir: 0.15,
  'temperature-sensor': 0.05,
};

/**
 * Cleaned from outside, so that nothing comes out: what is cleaned inside is flushed. Common
 * practice.
 */
const CLEANED_OUTSIDE: ReadonlySet<Component> = new Set(['radiator'] satisfies Component[]);

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
export function shareComingOut({
  component,
  action,
}: Readonly<{ component: Component; action: Action }>): number {
  if (action === 'flush') return 1;
  if (action === 'clean' && CLEANED_OUTSIDE.has(component)) return 0;
  return action === 'replace' || action === 'clean' ? (SHARE_FOR[component] ?? 0) : 0;
}

/** What a share that comes out is called. @example openingBy(0.3) // 'some' */
export function openingBy(share: number): Opening {
  if (share <= 0) return 'none';
  return share < 1 ? 'some' : 'all';
}
