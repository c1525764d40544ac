import type { DailyRate, UsagePoint } from '../usage/types.js';
import { findCrossing, findValue, inTimeOrder, type Found } from '../usage/usage-days.js';
import type { LookedUp } from '../usage/usage-memory.js';
import type { CounterConclusion } from './vehicle-history.js';

/**
 * The loaded facts are not enough for a look-up. This never leaves `derive`, which then asks for
 * all facts of the vehicle.
 */
// oxlint-disable-next-line no-restricted-globals -- no fault of anyone, and caught where conclusions are derived
export class NeedsAllFacts extends Error {}

/** One counter of a vehicle: its believed values as far as loaded, and what they say. */
export interface CounterView {
  conclusion: CounterConclusion;
  last: UsagePoint | null;
  rate: DailyRate | null;
  /**
   * When the readings crossed a value. @throws NeedsAllFacts when that was before the loaded ones,
   * and is not remembered
   */
  crossedAt(value: number): number | null;
  /**
   * The value at an instant, interpolated. @throws NeedsAllFacts when that was before the loaded
   * ones, and is not remembered
   */
  valueAt(at: number): number | null;
  /** What was asked for so far and cannot change by readings later than an instant. */
  lookedUp(until: number): { crossings: LookedUp[]; values: LookedUp[] };
}

/** What was looked up earlier, and up to which instant the readings have not changed since. */
export interface Remembered {
  crossings: readonly LookedUp[];
  values: readonly LookedUp[];
  soundUntil: number;
}

export const NOTHING_REMEMBERED: Remembered = { crossings: [], values: [], soundUntil: -Infinity };

/** @param points as far as loaded. @param isComplete whether there are none before them */
export function counterView(
  points: readonly UsagePoint[],
  isComplete: boolean,
  conclusion: CounterConclusion,
  remembered: Remembered,
): CounterView {
  const known = inTimeOrder(points);
  const crossings = new Map<number, LookedUp>();
  const values = new Map<number, LookedUp>();
  const { at: lastAt, lifetime, rate } = conclusion;
  const last = lastAt === null || lifetime === null ? null : { at: lastAt, value: lifetime };
  const settle = (
    asked: number,
    found: Found | null,
    earlier: readonly LookedUp[],
    answers: Map<number, LookedUp>,
  ): number | null => {
    const isSettled = found !== null && (isComplete || !found.isByFirst);
    const answer: LookedUp | undefined = isSettled
      ? [asked, found.answer, found.settledAt]
      : earlier.find(([question, , settledAt]) => question === asked && settledAt <= remembered.soundUntil);
    if (answer === undefined) throw new NeedsAllFacts();
    answers.set(asked, answer);
    return answer[1];
  };
  return {
    conclusion,
    last,
    rate,
    crossedAt(value) {
      if (last === null || value > last.value) return null;
      return settle(value, findCrossing(known, value), remembered.crossings, crossings);
    },
    valueAt(at) {
      if (last === null || at > last.at) return null;
      return settle(at, findValue(known, at), remembered.values, values);
    },
    lookedUp(until) {
      const settled = (answers: Map<number, LookedUp>): LookedUp[] =>
        [...answers.values()].filter(([, , settledAt]) => settledAt <= until);
      return { crossings: settled(crossings), values: settled(values) };
    },
  };
}
