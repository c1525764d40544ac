import { civilDateOf, epochDayOf, type CivilDate } from '../calendar/civil-date.js';
import { civilDateAt, epochDayAt, MS_PER_DAY } from '../calendar/zone.js';
import { studentT95 } from '../statistics/student-t.js';
import { BLIND_FACTOR } from './daily-rate.js';
import { daysInUseBetween, isSeasonal, nthDayInUse } from './days-in-use.js';
import type { DailyRate, Projection, UsagePoint } from './types.js';

/** A last reading older than this many days makes a projection stale; common practice. */
const STALE_AFTER_DAYS = 60;

/** What is further away than a hundred years is no date to plan by. */
const HORIZON_DAYS = 36_525;

/**
 * The date on which a counter reaches a limit, t = t_last + (limit − last)/rate, with a 90 % band
 * for it.
 *
 * Half width = t₀.₉₅,ₙ₋₂ · √(s²·h + σ²·h²) / rate days, where s is the standard deviation of daily
 * use per √day, σ that of the rate itself (s/√T for a rate found over T days, more where it is open
 * whether the use changed), n the readings, h the days to the limit: the first term is how the days
 * to come vary, the second how uncertain the rate is (prediction from a random walk with drift).
 * Without a scatter to judge by (two readings, a declared rate) h ÷ 1.5 to h × 1.5, common
 * practice. `earliestOn` is never before the day of the last reading.
 *
 * @param rate km or h a day in use.
 * @param last last believed reading, lifetime km or h.
 * @param limit lifetime km or h; one that the last reading has passed gives the day of that
 * reading.
 * @param timeZone IANA name of the fleet's zone, in which the dates are.
 * @returns null when the vehicle is not used (rate 0) or the limit is more than a hundred years
 * away.
 * @example project({ perDay: 50, …declared }, { at: Date.UTC(2026, 0, 1, 12), value: 1000 }, 2000, 'UTC') // on 2026-01-21, from 2026-01-14 to 2026-01-31
 */
export function project(
  rate: DailyRate,
  last: UsagePoint,
  limit: number,
  timeZone: string,
): Projection | null {
  const left = Math.max(0, limit - last.value);
  if (!(rate.perDay > 0)) return left === 0 ? sameDay(last, timeZone) : null;
  const days = left / rate.perDay;
  if (days > HORIZON_DAYS) return null;
  const [earliest, latest] = bandOf(rate, days);
  return {
    on: dateAfter(rate, last, days, timeZone),
    earliestOn: dateAfter(rate, last, earliest, timeZone),
    latestOn: dateAfter(rate, last, latest, timeZone),
  };
}

/**
 * The counter's value at an instant by the daily rate: last + rate × days (in use) since. Before
 * the last reading: the last value.
 *
 * @param asOf epoch milliseconds. @param timeZone of the fleet. @returns lifetime km or h.
 * @example estimateNow({ perDay: 50, … }, { at: 0, value: 1000 }, 2 * 86_400_000, 'UTC') // 1100
 */
export function estimateNow(
  rate: Pick<DailyRate, 'perDay' | 'inUseMonths'>,
  last: UsagePoint,
  asOf: number,
  timeZone: string,
): number {
  if (asOf <= last.at) return last.value;
  const days = isSeasonal(rate.inUseMonths)
    ? daysInUseBetween(epochDayAt(last.at, timeZone), epochDayAt(asOf, timeZone), rate.inUseMonths)
    : (asOf - last.at) / MS_PER_DAY;
  return last.value + rate.perDay * days;
}

/** The first day on which a projection from a reading of that date is stale. @example staleFrom('2026-01-01') // '2026-03-03' */
export function staleFrom(lastOn: CivilDate): CivilDate {
  return civilDateOf(epochDayOf(lastOn) + STALE_AFTER_DAYS + 1);
}

/** Whether a last reading of that date is older than 60 days on a day. @example isStale('2026-01-01', '2026-03-02') // false */
export function isStale(lastOn: CivilDate, today: CivilDate): boolean {
  return today >= staleFrom(lastOn);
}

function bandOf(rate: DailyRate, days: number): [number, number] {
  if (rate.sPerRootDay === null || rate.deviation === null)
    return [days / BLIND_FACTOR, Math.min(days * BLIND_FACTOR, HORIZON_DAYS)];
  const variance = rate.sPerRootDay ** 2 * days + rate.deviation ** 2 * days ** 2;
  const half = (studentT95(rate.n - 2) * Math.sqrt(variance)) / rate.perDay;
  return [Math.max(0, days - half), Math.min(days + half, HORIZON_DAYS)];
}

function dateAfter(rate: DailyRate, last: UsagePoint, days: number, timeZone: string): CivilDate {
  if (!isSeasonal(rate.inUseMonths)) return civilDateAt(last.at + days * MS_PER_DAY, timeZone);
  return civilDateOf(nthDayInUse(epochDayAt(last.at, timeZone), Math.ceil(days), rate.inUseMonths));
}

function sameDay(last: UsagePoint, timeZone: string): Projection {
  const on = civilDateAt(last.at, timeZone);
  return { on, earliestOn: on, latestOn: on };
}
