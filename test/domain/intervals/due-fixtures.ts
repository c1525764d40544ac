import { epochDayOf } from '../../../src/domain/calendar/civil-date.js';
import { dueLineOf } from '../../../src/domain/intervals/due-line.js';
import { resolveRule } from '../../../src/domain/intervals/resolve-rule.js';
import type {
  Baseline,
  CounterOutlook,
  DueLineInput,
  DuePoint,
  IntervalRule,
} from '../../../src/domain/intervals/types.js';
import { dailyRate } from '../../../src/domain/usage/daily-rate.js';
import { crossingLookup, lastOfEachDay, valueLookup } from '../../../src/domain/usage/usage-days.js';

export const DAY = 86_400_000;
export const noon = (date: string) => epochDayOf(date) * DAY + DAY / 2;

export const intervalOf = (rest: Partial<IntervalRule>): IntervalRule => ({
  component: 'coolant',
  action: 'replace',
  item: null,
  anchor: 'completion',
  ...rest,
});

export const ruleOf = (rest: Partial<IntervalRule>, duty: 'normal' | 'severe' = 'normal') =>
  resolveRule(intervalOf(rest), duty);

export const doneOn = (on: string, km: number | null = null, hours: number | null = null): Baseline => ({
  kind: 'job',
  on,
  odometerLifetimeKm: km,
  engineHoursLifetime: hours,
});

/** A counter read at the given dates (noon UTC). */
export function outlookOf(values: Record<string, number>, declared: number | null = null): CounterOutlook {
  const points = Object.entries(values).map(([date, value]) => ({ at: noon(date), value }));
  const last = points.sort((a, b) => a.at - b.at).at(-1) ?? null;
  const rate = dailyRate(lastOfEachDay(points, 'UTC'), declared, null);
  return { rate, last, crossedAt: crossingLookup(points), valueAt: valueLookup(points) };
}

export function inputOf(rest: Partial<DueLineInput>): DueLineInput {
  return {
    rules: [],
    baseline: null,
    scheduleOrigin: null,
    status: 'in-use',
    distance: null,
    engineHours: null,
    timeZone: 'UTC',
    ...rest,
  };
}

export function datedLine(rest: Partial<DueLineInput>): DuePoint {
  const line = dueLineOf(inputOf(rest));
  if (line === null || line.state !== 'dated')
    throw new Error(`expected a dated line, got ${JSON.stringify(line)}`);
  return line;
}
