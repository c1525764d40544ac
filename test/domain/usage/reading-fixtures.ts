import type { UsageReading } from '../../../src/domain/usage/types.js';

export const DAY = 86_400_000;
export const START = Date.UTC(2026, 0, 5, 14);

/** A reading `day` days after the start of the fixture; an id from the day unless given. */
export function reading(
  day: number,
  odometerKm: number | null,
  rest: Partial<UsageReading> = {},
): UsageReading {
  return {
    id: `d${day}`,
    at: START + day * DAY,
    odometerKm,
    engineHours: null,
    odometerReplaced: false,
    engineHoursReplaced: false,
    source: 'dash',
    decision: null,
    heldAtArrival: null,
    ...rest,
  };
}
