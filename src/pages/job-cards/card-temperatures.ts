import type { EntityManager } from 'typeorm';
import { creepOf, creepTold } from '../../domain/temperatures/creep.js';
import { shownDaysOf } from '../../facts/temperatures/shown-days.queries.js';
import { optionalMeasure, shownMeasure } from '../../platform/presenting/measures.js';
import { shownMessage } from '../../platform/words/shown-messages.js';
import type { CardTemperatures } from './card/card-records.dto.js';

/** The days on which the vehicle overheated lately, and whether its coolant runs ever hotter. */
export async function cardTemperatures(
  manager: EntityManager,
  fleet: { fleetId: string; timeZone: string },
  vehicleId: string,
  asOf: string,
): Promise<CardTemperatures> {
  const { days, hotDays } = await shownDaysOf(manager, fleet, vehicleId, asOf);
  const creep = creepOf(days, asOf);
  const finding = creepTold(creep);
  return {
    hotDays: hotDays.map(({ day, highestC, alarmC, minutesAboveAlarm }) => ({
      ...{ day, minutesAboveAlarm },
      highest: shownMeasure('temperature', highestC),
      alarm: shownMeasure('temperature', alarmC),
    })),
    finding: finding && shownMessage(finding),
    hotEnd: optionalMeasure('temperature', creep.nowC),
    hotEndYearBefore: optionalMeasure('temperature', creep.yearBeforeC),
  };
}
