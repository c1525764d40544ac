import { knownCheckpoints } from '../../domain/conclusions/conclude-usage.js';
import type { UsageConclusion } from '../../domain/conclusions/vehicle-history.js';
import { restartFrom } from '../../domain/usage/checkpoints.js';
import { MS_PER_DAY } from '../../domain/calendar/zone.js';
import { USUAL_WINDOW_DAYS } from '../../domain/usage/daily-rate.js';
import type { Checkpoint } from '../../domain/usage/types.js';
import type { UsageMemory } from '../../domain/usage/usage-memory.js';

/** Days of the fleet's zone begin and end within one of UTC's. */
const DAY_EDGES = 2;

/** How much of a vehicle's readings is needed. */
export interface UsageNeed {
  vehicleId: string;
  /** Epoch milliseconds; null: all of them. */
  since: number | null;
  /** Whether it is to be found out that there are none before; otherwise some are taken to be. */
  asksForEarlier: boolean;
}

/**
 * From where judging is taken up for readings changed at `changedFrom`, and which of those before
 * are needed to find the rate again.
 */
export function usageNeed(
  vehicleId: string,
  summary: UsageConclusion,
  changedFrom: number,
): { need: UsageNeed; start: Checkpoint | null; memory: UsageMemory | null } {
  const { memory } = summary;
  if (memory !== null && memory.checkpoint.at < changedFrom) {
    const { checkpoint } = memory;
    // What came up to then is remembered; instants are whole milliseconds.
    return {
      need: { vehicleId, since: checkpoint.at + 1, asksForEarlier: false },
      start: checkpoint,
      memory,
    };
  }
  const start = restartFrom(knownCheckpoints(summary), changedFrom);
  if (start === null) return { need: { vehicleId, since: null, asksForEarlier: false }, start, memory: null };
  // The last values believed at the start: the later ones that are stored may be what is voided.
  const last = Math.min(
    start.odometer.core.head?.at ?? Infinity,
    start.engineHours.core.head?.at ?? Infinity,
    changedFrom,
  );
  const since = Math.min(start.at, last - (USUAL_WINDOW_DAYS + DAY_EDGES) * MS_PER_DAY);
  return { need: { vehicleId, since, asksForEarlier: true }, start, memory: null };
}
