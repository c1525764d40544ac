import { epochDayAt } from '../calendar/zone.js';
import type { UsageDay, UsagePoint } from './types.js';

/**
 * The last believed value of each day on which there is one, in time order.
 *
 * @param points believed lifetime values (km or h) in any order, those of one instant as they were
 *   judged.
 * @param timeZone IANA name of the fleet's zone, in which the days are.
 * @example lastOfEachDay([{ at: 0, value: 5 }, { at: 3_600_000, value: 9 }], 'UTC') // [{ epochDay: 0, at: 3600000, value: 9 }]
 */
export function lastOfEachDay(points: readonly UsagePoint[], timeZone: string): UsageDay[] {
  const days: UsageDay[] = [];
  for (const { at, value } of inTimeOrder(points)) {
    const epochDay = epochDayAt(at, timeZone);
    if (days.at(-1)?.epochDay === epochDay) days.pop();
    days.push({ epochDay, at, value });
  }
  return days;
}

/**
 * Looks up when the readings crossed a value (epoch milliseconds), interpolated between the two
 * around it; null when they have not reached it.
 *
 * Where they crossed it more than once (a figure that later proved too high) the last crossing
 * counts. A value below the first reading was crossed by then at the latest.
 *
 * @example crossingLookup([{ at: 0, value: 100 }, { at: 1000, value: 200 }])(150) // 500
 */
export function crossingLookup(points: readonly UsagePoint[]): (value: number) => number | null {
  const sorted = inTimeOrder(points);
  return (value) => findCrossing(sorted, value)?.answer ?? null;
}

/**
 * Looks up the value at an instant (epoch milliseconds), interpolated between the readings around
 * it; null before the first and after the last.
 *
 * @example valueLookup([{ at: 0, value: 100 }, { at: 1000, value: 200 }])(250) // 125
 */
export function valueLookup(points: readonly UsagePoint[]): (at: number) => number | null {
  const sorted = inTimeOrder(points);
  return (at) => findValue(sorted, at)?.answer ?? null;
}

/** An answer that some readings give. */
export interface Found {
  answer: number | null;
  /** The instant of the later of the two readings around it. */
  settledAt: number;
  /** It depends only on the first reading: an earlier one could change it. */
  isByFirst: boolean;
}

/**
 * As `crossingLookup`, with the readings behind the answer; null when the points have not reached
 * the value. @param sorted in time order
 */
export function findCrossing(sorted: readonly UsagePoint[], value: number): Found | null {
  let after = sorted.length - 1;
  if (after < 0 || sorted[after]!.value < value) return null;
  while (after > 0 && sorted[after - 1]!.value >= value) after--;
  const to = sorted[after]!;
  if (after === 0) return { answer: to.at, settledAt: to.at, isByFirst: true };
  const from = sorted[after - 1]!;
  const answer = from.at + ((value - from.value) / (to.value - from.value)) * (to.at - from.at);
  return { answer, settledAt: to.at, isByFirst: false };
}

/**
 * As `valueLookup`, with the readings behind the answer; null after the last point. @param sorted
 * in time order
 */
export function findValue(sorted: readonly UsagePoint[], at: number): Found | null {
  const after = sorted.findIndex((point) => point.at >= at);
  if (after === -1) return null;
  const to = sorted[after]!;
  // Of several at one instant the last counts, as it does for the day.
  const same = sorted.findLastIndex((point) => point.at === at);
  if (same !== -1) return { answer: sorted[same]!.value, settledAt: at, isByFirst: false };
  if (after === 0) return { answer: null, settledAt: to.at, isByFirst: true };
  const from = sorted[after - 1]!;
  const answer = from.value + ((at - from.at) / (to.at - from.at)) * (to.value - from.value);
  return { answer, settledAt: to.at, isByFirst: false };
}

/** Points by time, those of one instant in the order in which they were given. */
export function inTimeOrder(points: readonly UsagePoint[]): UsagePoint[] {
  return [...points].sort((left, right) => left.at - right.at);
}
