import { knownCheckpoints } from '../../domain/conclusions/conclude-usage.js';
import type { UsageConclusion } from '../../domain/conclusions/vehicle-history.js';
import { restartFrom } from '../../domain/usage/checkpoints.js';
import { MS_PER_DAY } from '../../domain/calendar/zone.js';
import { USUAL_WINDOW_DAYS } from '../../domain/usage/daily-rate.js';
import type { Checkpoint } from '../../domain/usage/types.js';
import type { UsageMemory } from '../../domain/usage/usage-memory.js';

/** A day in the fleet's zone begins and ends up to one day before or after the UTC day. */
const DAY_EDGES = 2;

/** How many of a vehicle's readings must be loaded. */
export interface UsageNeed {
  vehicleId: string;
  /** Epoch milliseconds; null: all of them. */
  since: number | null;
  /** Whether the query must check for earlier readings. If not, earlier readings are assumed. */
  asksForEarlier: boolean;
}

/**
 * Where judging must restart for readings changed at `changedFrom`, and which earlier readings are
 * needed to compute the rate again.
 */
export function usageNeed(
  vehicleId: string,
  summary: UsageConclusion,
  changedFrom: number,
): { need: UsageNeed; start: Checkpoint | null; memory: UsageMemory | null } {
  const { memory } = summary;
  if (memory !== null && memory.checkpoint.at < changedFrom) {
    const { checkpoint } = memory;
    // The memory covers everything up to the checkpoint. Instants are whole milliseconds.
    return {
      need: { vehicleId, since: checkpoint.at + 1, asksForEarlier: false },
      start: checkpoint,
      memory,
    };
  }
  const start = restartFrom(knownCheckpoints(summary), changedFrom);
  if (start === null) return { need: { vehicleId, since: null, asksForEarlier: false }, start, memory: null };
  // The last values believed at the start: later stored values may be the ones that are being
  // voided.
  const last = Math.min(
    start.odometer.core.head?.at ?? Infinity,
    start.engineHours.core.head?.at ?? Infinity,
    changedFrom,
  );
  const since = Math.min(start.at, last - (USUAL_WINDOW_DAYS + DAY_EDGES) * MS_PER_DAY);
  return { need: { vehicleId, since, asksForEarlier: true }, start, memory: null };
}
