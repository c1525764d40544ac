import { civilDateAt } from '../calendar/zone.js';
import type { Baseline } from '../intervals/types.js';
import { rounded } from './stored-line.js';
import type { JobRecord, VehicleHistory } from './vehicle-history.js';

/** What an interval counts from after a job. */
export function baselineOf(job: JobRecord, timeZone: string): Baseline {
  return {
    kind: 'job',
    on: civilDateAt(job.at, timeZone),
    odometerLifetimeKm: rounded(job.odometerLifetimeKm),
    engineHoursLifetime: rounded(job.engineHoursLifetime),
  };
}

/** What a vehicle's intervals count from before any job; null when it is not known. */
export function inServiceOf(history: VehicleHistory): Baseline | null {
  if (history.inServiceOn === null) return null;
  return {
    kind: 'in-service',
    on: history.inServiceOn,
    odometerLifetimeKm: history.inServiceOdometerKm,
    engineHoursLifetime: history.inServiceEngineHours,
  };
}

/** The day the vehicle came back into use, when it was laid up; null when it never was. */
export function inUseSince(history: VehicleHistory): string | null {
  const lastRest = history.assignments.findLastIndex((assignment) => assignment.status === 'laid-up');
  return lastRest === -1 ? null : (history.assignments[lastRest + 1]?.effectiveOn ?? null);
}
