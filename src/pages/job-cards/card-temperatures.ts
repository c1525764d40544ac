import type { EntityManager } from 'typeorm';
import { addDays } from '../../domain/calendar/civil-date.js';
import { creepOf, creepTold } from '../../domain/temperatures/creep.js';
import { hotEndsOf } from '../../facts/temperatures/hot-ends.queries.js';
import { optionalMeasure, shownMeasure } from '../../platform/presenting/measures.js';
import { shownMessage } from '../../platform/words/shown-messages.js';
import type { CardTemperatures } from './card/card-records.dto.js';

/** Overheating that is older has had its inspection, or waits for it as a due line. */
const RECENT_DAYS = 30;
const MOST_DAYS = 10;

interface HotDayRow {
  day: string;
  highestC: number;
  alarmC: number;
  minutesAboveAlarm: number | null;
}

/** The days on which the vehicle overheated lately, and whether its coolant runs ever hotter. */
export async function cardTemperatures(
  manager: EntityManager,
  { fleetId, timeZone }: { fleetId: string; timeZone: string },
  vehicleId: string,
  asOf: string,
): Promise<CardTemperatures> {
  const rows = await manager.query<HotDayRow[]>(
    `select day::text as day, highest_c as "highestC", alarm_c as "alarmC", minutes_above_alarm as "minutesAboveAlarm"
     from coolant_temperature_days
     where fleet_id = $1 and vehicle_id = $2 and overheated_from >= $3::date and voided_at is null
     order by overheated_from desc, id desc limit ${MOST_DAYS}`,
    [fleetId, vehicleId, addDays(asOf, -RECENT_DAYS)],
  );
  const { days } = await hotEndsOf(manager, fleetId, vehicleId, asOf, timeZone);
  const creep = creepOf(days, asOf);
  const finding = creepTold(creep);
  return {
    hotDays: rows.map(({ day, highestC, alarmC, minutesAboveAlarm }) => ({
      ...{ day, minutesAboveAlarm },
      highest: shownMeasure('temperature', highestC),
      alarm: shownMeasure('temperature', alarmC),
    })),
    finding: finding && shownMessage(finding),
    hotEnd: optionalMeasure('temperature', creep.nowC),
    hotEndYearBefore: optionalMeasure('temperature', creep.yearBeforeC),
  };
}
