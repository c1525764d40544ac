import { civilDateAt } from '../../../domain/calendar/zone.js';
import type { Fleet } from '../../../entities/fleet.entity.js';

/** Today in the fleet's time zone, and the longest lead of a window in days. */
export interface FleetDay {
  today: string;
  timeZone: string;
  greatestLeadDays: number;
}

export function fleetDayOf({ timeZone, greatestLeadDays }: Fleet, now: Date): FleetDay {
  return { today: civilDateAt(now.getTime(), timeZone), timeZone, greatestLeadDays };
}
