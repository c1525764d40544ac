import type { Postponement } from '../intervals/types.js';
import type { ConcludedLine } from './stored-line.js';
import type { VehicleHistory } from './vehicle-history.js';

type What = Pick<ConcludedLine, 'component' | 'action' | 'item' | 'circuit' | 'origin' | 'originKey'>;

/** A manager's postponement of this cycle of a line; null if there is none. */
export function postponementOf(history: VehicleHistory, what: What, cycle: string): Postponement | null {
  if (history.postponements.length === 0) return null;
  const line = history.lines.find(
    (stored) =>
      stored.component === what.component &&
      stored.action === what.action &&
      stored.item === what.item &&
      stored.circuit === what.circuit &&
      stored.origin === what.origin &&
      stored.originKey === what.originKey,
  );
  const put = history.postponements.find((one) => one.dueLineId === line?.id && one.cycle === cycle);
  return put === undefined
    ? null
    : {
        on: put.on,
        odometerLifetimeKm: put.odometerLifetimeKm,
        engineHoursLifetime: put.engineHoursLifetime,
      };
}

const POSTPONED = '/postponed';

/**
 * The key of the cycle for reminders. A postponed cycle has another key, so people are reminded
 * again when it comes due.
 */
export function reminderCycle(cycle: string, isPostponed: boolean): string {
  return isPostponed ? `${cycle}${POSTPONED}` : cycle;
}
