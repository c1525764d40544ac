import { addDays } from '../../domain/calendar/civil-date.js';
import { creepBasis, creepOf, creepTold, type HotEnd } from '../../domain/temperatures/creep.js';
import { SAMPLES_KEPT_DAYS } from '../../domain/temperatures/samples.js';
import type { CoolantTemperatureDay } from '../../entities/coolant-temperature.entity.js';
import { optionalMeasure, shownMeasure } from '../../platform/presenting/measures.js';
import { shownMessage } from '../../platform/words/shown-messages.js';
import type { TemperatureDayView, TemperatureTrendView } from './temperature.dto.js';

/** To a tenth of a minute: finer than any value was read. */
const toTenth = (minutes: number | null): number | null =>
  minutes === null ? null : Number(minutes.toFixed(1));

/** A day as it is shown. @param today in the fleet's zone */
export function dayView(row: CoolantTemperatureDay, today: string): TemperatureDayView {
  const { id, vehicleId, day, samples, samplesAboveAlarm, minutesAboveAlarm, largestGapMinutes } = row;
  return {
    ...{ id, vehicleId, day, samples },
    highest: shownMeasure('temperature', row.highestC),
    hotEnd: optionalMeasure('temperature', row.hotC),
    alarm: optionalMeasure('temperature', row.alarmC),
    ...{ samplesAboveAlarm, minutesAboveAlarm },
    overheated: row.overheatedFrom !== null,
    warmUpMinutes: toTenth(row.warmUpMinutes),
    usualGapMinutes: toTenth(row.usualGapMinutes),
    largestGapMinutes,
    closed: day < addDays(today, -SAMPLES_KEPT_DAYS),
    voidedAt: row.voidedAt?.toISOString() ?? null,
    voidReason: row.voidReason,
  };
}

/** Whether the coolant runs ever hotter, as it is shown. */
export function trendView(
  { since, days }: { since: string | null; days: readonly HotEnd[] },
  today: string,
): TemperatureTrendView {
  const creep = creepOf(days, today);
  const finding = creepTold(creep);
  return {
    hotter: creep.isHotter,
    finding: finding && shownMessage(finding),
    now: optionalMeasure('temperature', creep.nowC),
    yearBefore: optionalMeasure('temperature', creep.yearBeforeC),
    blocks: creep.blocks.map(({ hotC, ...block }) => ({
      ...block,
      hotEnd: optionalMeasure('temperature', hotC),
    })),
    since,
    basis: [shownMessage(creepBasis())],
  };
}
