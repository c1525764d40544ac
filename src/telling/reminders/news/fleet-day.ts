import { civilDateAt } from '../../../domain/calendar/zone.js';
import type { Fleet } from '../../../entities/fleet.entity.js';

/** Today in the fleet's zone, and how far ahead a window can open. */
export interface FleetDay {
  today: string;
  timeZone: string;
  greatestLeadDays: number;
}

export function fleetDayOf({ timeZone, greatestLeadDays }: Fleet, now: Date): FleetDay {
  return { today: civilDateAt(now.getTime(), timeZone), timeZone, greatestLeadDays };
}
