import { creepOf, creepTold } from '../../domain/temperatures/creep.js';
import type { ShownDays } from '../../facts/temperatures/shown-days.queries.js';
import { optionalMeasure, shownMeasure } from '../../platform/presenting/measures.js';
import { shownMessage } from '../../platform/words/shown-messages.js';
import type { CardTemperatures } from './card/card-records.dto.js';

/** The days on which the vehicle overheated lately, and whether its coolant runs ever hotter. */
export function cardTemperatures({ days, hotDays }: ShownDays, asOf: string): CardTemperatures {
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
