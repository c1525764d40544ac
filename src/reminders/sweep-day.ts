import { civilDateAt } from '../domain/calendar/zone.js';
import type { Fleet } from '../fleets/fleet.entity.js';
import type { SweepDay } from './sweep.queries.js';

/** The day on which a fleet is swept now. */
export function sweepDayOf({ timeZone, greatestLeadDays }: Fleet, now: Date): SweepDay {
  return { today: civilDateAt(now.getTime(), timeZone), timeZone, greatestLeadDays };
}
