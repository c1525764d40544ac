import { epochDayAt } from '../calendar/zone.js';
import { isUsualWindowEnough, LONG_WINDOW_DAYS, USUAL_WINDOW_DAYS } from './daily-rate.js';
import type { InUseMonths } from './days-in-use.js';
import type { Checkpoint, UsageDay, UsagePoint } from './types.js';

/**
 * How far back days are known: all that there ever were; those of a year and the first; or those of
 * half a year.
 */
export type Reach = 'all' | 'year' | 'usual';

/**
 * Something that was looked up among the readings: what was asked, the answer, and the instant of
 * the reading that settled it. As long as no reading up to then changes, the answer to the same
 * question is the same.
 */
export type LookedUp = [asked: number, answer: number | null, settledAt: number];

/**
 * What is remembered of a counter in place of the readings up to a checkpoint. Plain JSON, and
 * short.
 */
export interface CounterMemory {
  reach: Reach;
  /**
   * The last believed reading of each day, oldest first: milliseconds since the one before (the
   * first since 1970), and value, in turn.
   */
  days: number[];
  /**
   * When values were crossed, and what the counter showed at instants, as far as it was asked for.
   */
  crossings: LookedUp[];
  values: LookedUp[];
}

/**
 * What a vehicle's readings up to a checkpoint come down to, for going on without reading them
 * again.
 */
export interface UsageMemory {
  checkpoint: Checkpoint;
  odometer: CounterMemory;
  engineHours: CounterMemory;
}

/** This many days are always kept, needed or not. */
const FEW_DAYS = 40;

/** Some days of a counter, with how far back they reach. */
export interface KnownDays {
  reach: Reach;
  days: readonly UsageDay[];
}

/**
 * Of the days of a counter those that are kept, for `dailyRate` to give the same for them and later
 * ones as for all of them: half a year, or where they are few the whole year, or all.
 *
 * @param known ascending.
 * @example daysToKeep({ reach: 'all', days: thirtyDays }).reach // 'all'
 */
export function daysToKeep({ reach, days }: KnownDays): KnownDays {
  if (reach === 'all' && days.length <= FEW_DAYS) return { reach, days };
  if (reach !== 'usual') {
    const year = since(days, LONG_WINDOW_DAYS);
    if (year.length < FEW_DAYS)
      return { reach: 'year', days: year[0] === days[0] ? year : [days[0]!, ...year] };
  }
  return { reach: 'usual', days: since(days, USUAL_WINDOW_DAYS) };
}

/** Whether the rate follows from the days that are known. */
export function isReachEnough({ reach, days }: KnownDays, inUseMonths: InUseMonths): boolean {
  return reach !== 'usual' || isUsualWindowEnough(days, inUseMonths);
}

/** Days in their stored form. */
export function packDays(days: readonly UsageDay[]): number[] {
  const packed: number[] = [];
  let before = 0;
  for (const { at, value } of days) {
    // Short numbers are written and read several times as fast as instants.
    packed.push(at - before, value);
    before = at;
  }
  return packed;
}

/**
 * The days that are remembered, with those of later points.
 *
 * @param later ascending, none before the last day that is remembered.
 */
export function unpackDays(
  { days }: Pick<CounterMemory, 'days'>,
  later: readonly UsagePoint[],
  timeZone: string,
): UsageDay[] {
  const known: UsageDay[] = [];
  const add = (at: number, value: number): void => {
    const epochDay = epochDayAt(at, timeZone);
    if (known.at(-1)?.epochDay === epochDay) known.pop();
    known.push({ epochDay, at, value });
  };
  let at = 0;
  for (let i = 0; i < days.length; i += 2) add((at += days[i]!), days[i + 1]!);
  for (const point of later) add(point.at, point.value);
  return known;
}

function since(days: readonly UsageDay[], count: number): readonly UsageDay[] {
  const first = (days.at(-1)?.epochDay ?? 0) - count;
  const from = days.findIndex(({ epochDay }) => epochDay >= first);
  return from <= 0 ? days : days.slice(from);
}
