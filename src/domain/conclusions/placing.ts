import { estimateNow } from '../usage/projection.js';
import type { ConcludedUsage } from './conclude-usage.js';
import type { CounterView } from './counter-view.js';
import type { Position } from './vehicle-history.js';

/**
 * Usage at an instant: interpolated between readings, carried on at the daily rate after the last.
 */
export function positionAt(at: number, usage: ConcludedUsage, timeZone: string): Position {
  const on = (view: CounterView): number | null => {
    const { last, rate } = view;
    if (last === null) return null;
    if (at <= last.at) return view.valueAt(at);
    return rate === null ? last.value : estimateNow(rate, last, at, timeZone);
  };
  return { odometerLifetimeKm: on(usage.distance), engineHoursLifetime: on(usage.engineHours) };
}

/** Usage at the time of a fact. */
export type Placed = Position & { id: string };

/**
 * Places facts on the vehicle's usage, where the usage readings around them may have changed.
 *
 * @returns the facts, and those of them that lie elsewhere than before
 */
export function place<T extends Placed & { at: number }>(
  facts: T[],
  usage: ConcludedUsage,
  timeZone: string,
): { facts: T[]; moved: Placed[] } {
  const { placedFrom } = usage;
  if (placedFrom === null) return { facts, moved: [] };
  const moved: Placed[] = [];
  const placed = facts.map((fact) => {
    if (fact.at < placedFrom) return fact;
    const position = positionAt(fact.at, usage, timeZone);
    if (
      position.odometerLifetimeKm === fact.odometerLifetimeKm &&
      position.engineHoursLifetime === fact.engineHoursLifetime
    )
      return fact;
    moved.push({ id: fact.id, ...position });
    return { ...fact, ...position };
  });
  return { facts: placed, moved };
}
