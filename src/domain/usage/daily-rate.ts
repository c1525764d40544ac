import { MS_PER_DAY } from '../calendar/zone.js';
import { ImpossibleValue } from '../impossible-value.js';
import { message } from './messages.js';
import { medianOfSorted } from '../statistics/median.js';
import { studentT95 } from '../statistics/student-t.js';
import { pairwiseSlopes } from '../statistics/theil-sen.js';
import { type PlacedValue, useNow, type UseNow } from './change-of-route.js';
import { daysInUseBetween, isSeasonal, type InUseMonths } from './days-in-use.js';
import type { DailyRate, RateMethod, UsageDay } from './types.js';

const SHORT_WINDOW_DAYS = 90;
/**
 * How far back a change of route is looked for; all that a rate needs where the short window has
 * enough.
 */
export const USUAL_WINDOW_DAYS = 180;
/** The longest history that a rate from readings needs, except for the first reading of a mean. */
export const LONG_WINDOW_DAYS = 365;
const LEAST_SPAN_DAYS = 14;
const LEAST_SPAN_OF_MEAN_DAYS = 7;
/**
 * The latest weeks replace the usual window only if they differ from it by this much, as a
 * logarithm; by simulation.
 */
const LEAST_RELATIVE_CHANGE = 0.05;
/** Evenly thinned to this many: a ninth of the pairs of 90 at no loss that simulation shows. */
const MOST_POINTS = 30;
/** Band around a rate without any scatter to judge by, common practice. */
export const BLIND_FACTOR = 1.5;

/**
 * How much a vehicle is used a day.
 *
 * Theil–Sen slope over the last value of each day in the 90 days up to the last one, when there are
 * at least 3 spanning at least 14 days; else over 365 days; else the mean between the first and
 * last value if at least 7 days apart; else the declared rate; else null. Where `useNow` tells
 * another use in the latest weeks, by a twentieth or more, that takes its place; where it does not,
 * what it leaves open widens the band. For a seasonal vehicle the days are days in use. The windows
 * end at the last value, not today, so that a stored conclusion does not change overnight.
 *
 * Source: Sen (1968) for the slope; windows, thinning and the factor 1.5 are common practice and
 * simulation (docs/domain.md).
 *
 * @param days ascending (see `lastOfEachDay`), lifetime km or h.
 * @param declaredPerDay km or h a day (in use) that the fleet expects.
 * @throws ImpossibleValue when the declared rate is negative or not finite.
 * @example dailyRate([], 64, null) // { perDay: 64, low: 42.67, high: 96, method: 'declared', … }
 */
export function dailyRate(
  days: readonly UsageDay[],
  declaredPerDay: number | null,
  inUseMonths: InUseMonths,
): DailyRate | null {
  if (declaredPerDay !== null && !(declaredPerDay >= 0 && Number.isFinite(declaredPerDay))) {
    const detail = message('usage-expected-below-zero', { perDay: String(declaredPerDay) });
    throw new ImpossibleValue({ field: 'declaredPerDay', value: declaredPerDay, limit: { min: 0 }, detail });
  }
  const months = isSeasonal(inUseMonths) ? inUseMonths : null;
  const quarter = place(lastDays(days, SHORT_WINDOW_DAYS), months);
  if (isEnough(quarter)) {
    const fit = fitted(quarter, 'theil-sen-90-days', months);
    const now = useNow(place(lastDays(days, USUAL_WINDOW_DAYS), months));
    return now === null ? fit : weighed(fit, now);
  }
  const placed = place(lastDays(days, LONG_WINDOW_DAYS), months);
  if (isEnough(placed)) return fitted(placed, 'theil-sen-365-days', months);
  if (days.length >= 2) {
    const all = place([days[0]!, days.at(-1)!], months);
    const between = placed.length > 2 && spanOf(placed) >= LEAST_SPAN_OF_MEAN_DAYS ? placed : all;
    if (spanOf(between) >= LEAST_SPAN_OF_MEAN_DAYS) return fitted(between, 'mean', months);
  }
  return declaredPerDay === null ? null : blind(declaredPerDay, 'declared', 0, 0, months);
}

/**
 * Whether `dailyRate` gives the same for the days of the last 180 (`USUAL_WINDOW_DAYS`) as for all:
 * who stores readings may load only those. Where it does not, it needs all of them.
 */
export function isUsualWindowEnough(days: readonly UsageDay[], inUseMonths: InUseMonths): boolean {
  const months = isSeasonal(inUseMonths) ? inUseMonths : null;
  return isEnough(place(lastDays(days, SHORT_WINDOW_DAYS), months));
}

function lastDays(days: readonly UsageDay[], count: number): readonly UsageDay[] {
  const lastDay = days.at(-1)?.epochDay ?? 0;
  const first = days.findIndex((day) => day.epochDay >= lastDay - count);
  return first <= 0 ? days : days.slice(first);
}

/** Values on an axis of days in use, counted from the first. */
function place(days: readonly UsageDay[], months: InUseMonths): PlacedValue[] {
  const first = days[0];
  if (!first) return [];
  if (months === null) return days.map((day) => ({ x: (day.at - first.at) / MS_PER_DAY, y: day.value }));
  let x = 0;
  let previous = first.epochDay;
  return days.map((day) => {
    x += daysInUseBetween(previous, day.epochDay, months);
    previous = day.epochDay;
    return { x, y: day.value };
  });
}

function spanOf(values: readonly PlacedValue[]): number {
  return values.length === 0 ? 0 : values.at(-1)!.x - values[0]!.x;
}

/** Half a day's grace: weekly readings at not quite the same hour span 13.9 days in a fortnight. */
function isEnough(values: readonly PlacedValue[]): boolean {
  return values.length >= 3 && spanOf(values) >= LEAST_SPAN_DAYS - 0.5;
}

function fitted(values: readonly PlacedValue[], method: RateMethod, months: InUseMonths): DailyRate {
  const points = thin(values);
  const n = points.length;
  const span = spanOf(points);
  const slope =
    method === 'mean' ? (points.at(-1)!.y - points[0]!.y) / span : medianOfSorted(pairwiseSlopes(points));
  const perDay = Math.max(0, slope);
  if (n < 3) return blind(perDay, method, span, n, months);
  const s = Math.sqrt(scatter(points, slope) / (n - 2));
  return banded({
    perDay,
    method,
    sPerRootDay: s,
    deviation: s / Math.sqrt(span),
    spanDays: span,
    n,
    inUseMonths: months,
  });
}

/** The rate of the usual window held against what the latest weeks say. */
function weighed(fit: DailyRate, now: UseNow): DailyRate {
  const { perDay, relativeDeviation, relativeSpread, relativeScatter, n } = now;
  const apart = Math.log(perDay / fit.perDay);
  if (Math.abs(apart) >= LEAST_RELATIVE_CHANGE)
    return banded({
      ...fit,
      perDay,
      method: 'weighed-weeks',
      sPerRootDay: relativeScatter * perDay,
      deviation: relativeDeviation * perDay,
      n,
    });
  return banded({
    ...fit,
    deviation: Math.hypot(fit.deviation ?? 0, relativeSpread * perDay, apart * perDay),
  });
}

function banded(rate: Omit<DailyRate, 'low' | 'high'>): DailyRate {
  const half = studentT95(rate.n - 2) * (rate.deviation ?? 0);
  return { ...rate, low: Math.max(0, rate.perDay - half), high: rate.perDay + half };
}

function blind(perDay: number, method: RateMethod, span: number, n: number, months: InUseMonths): DailyRate {
  const [low, high] = [perDay / BLIND_FACTOR, perDay * BLIND_FACTOR];
  return {
    perDay,
    low,
    high,
    method,
    sPerRootDay: null,
    deviation: null,
    spanDays: span,
    n,
    inUseMonths: months,
  };
}

function thin(values: readonly PlacedValue[]): readonly PlacedValue[] {
  if (values.length <= MOST_POINTS) return values;
  const step = (values.length - 1) / (MOST_POINTS - 1);
  return Array.from({ length: MOST_POINTS }, (_, i) => values[Math.round(i * step)]!);
}

/** Σ (Δy − r·Δx)²/Δx: with n − 2 degrees of freedom the variance of one day's use. */
function scatter(points: readonly PlacedValue[], rate: number): number {
  let sum = 0;
  for (let i = 1; i < points.length; i++) {
    const dx = points[i]!.x - points[i - 1]!.x;
    if (dx > 0) sum += (points[i]!.y - points[i - 1]!.y - rate * dx) ** 2 / dx;
  }
  return sum;
}
