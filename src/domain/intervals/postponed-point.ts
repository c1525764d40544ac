import type { Point } from './due-point.js';
import type { Every } from './resolve-rule.js';
import type { Postponement } from './types.js';

/**
 * The due point of a cycle that a manager put off: that day, or a counter's value if it is reached
 * before. It takes the place of all limits of the interval, for that cycle only; the window and the
 * grace around it stay those of the interval.
 *
 * @param put lifetime km and h
 * @param cycle the interval's own lengths, which stand where a change of duty or plan shares out
 * what is left
 * @example postponedPoint({ on: '2026-05-20', odometerLifetimeKm: null, engineHoursLifetime: null }, { km: 10000, months: 12, hours: null }).time // { on: '2026-05-20', … }
 */
export function postponedPoint(put: Postponement, cycle: Every): Point {
  const counted = (at: number | null, length: number | null) =>
    at === null ? null : { at, length: length ?? at };
  return {
    km: counted(put.odometerLifetimeKm, cycle.km),
    hours: counted(put.engineHoursLifetime, cycle.hours),
    time: { on: put.on, lengthDays: 0 },
  };
}
