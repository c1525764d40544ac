import type { Postponement } from '../intervals/types.js';
import type { ConcludedLine } from './stored-line.js';
import type { VehicleHistory } from './vehicle-history.js';

type What = Pick<ConcludedLine, 'component' | 'action' | 'item' | 'origin' | 'originKey'>;

/** Where a manager put off this cycle of a line; null where nobody did. */
export function postponementOf(history: VehicleHistory, what: What, cycle: string): Postponement | null {
  if (history.postponements.length === 0) return null;
  const line = history.lines.find(
    (stored) =>
      stored.component === what.component &&
      stored.action === what.action &&
      stored.item === what.item &&
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
 * What reminders know the cycle by: put off, it is another one to them, so that the line is
 * reminded of again where it comes due anew.
 */
export function reminderCycle(cycle: string, isPostponed: boolean): string {
  return isPostponed ? `${cycle}${POSTPONED}` : cycle;
}
