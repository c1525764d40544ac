import type { UnitSystem } from '../domain/quantities/measures.js';
import { mergeCheckpoints } from '../domain/usage/checkpoints.js';
import { dailyRate, isUsualWindowEnough } from '../domain/usage/daily-rate.js';
import { estimateNow } from '../domain/usage/projection.js';
import { scanTimeline } from '../domain/usage/scan-timeline.js';
import type { CounterState, DailyRate, JudgedReading, UsagePoint } from '../domain/usage/types.js';
import { crossingLookup, lastOfEachDay, valueLookup } from '../domain/usage/usage-days.js';
import type { CounterConclusion, Position, StoredUsage, UsageConclusion, VehicleHistory } from './history.js';

/** What was asked of the readings that those loaded could not tell; the vehicle is then concluded again from all of them. */
export class NeedsAllReadings extends Error {}

/** One counter of a vehicle: its believed values as far as loaded, and what they say. */
export interface CounterView {
  conclusion: CounterConclusion;
  last: UsagePoint | null;
  rate: DailyRate | null;
  /** When the readings crossed a value. @throws NeedsAllReadings when that was before the loaded ones */
  crossedAt(value: number): number | null;
  /** The value at an instant, interpolated. @throws NeedsAllReadings when that was before the loaded ones */
  valueAt(at: number): number | null;
}

export interface ConcludedUsage {
  distance: CounterView;
  engineHours: CounterView;
  /** Judgements that differ from the stored ones. */
  judged: JudgedReading[];
  conclusion: UsageConclusion;
  /** Facts from this instant on are to be placed anew; null: none. */
  placedFrom: number | null;
}

type Lifetime = 'odometerLifetimeKm' | 'engineHoursLifetime';

/** Judges the readings anew, finds the rates, and says where every counter stands. */
export function concludeUsage(history: VehicleHistory, timeZone: string, units: UnitSystem): ConcludedUsage {
  const { usage, summary } = history;
  if (!usage.isChanged) {
    const whole = usage.isComplete ? usage.readings : null;
    return {
      distance: viewOf(
        whole && pointsOf(whole, 'odometerLifetimeKm'),
        whole !== null,
        summary.distance,
        summary.distance.rate,
      ),
      engineHours: viewOf(
        whole && pointsOf(whole, 'engineHoursLifetime'),
        whole !== null,
        summary.engineHours,
        summary.engineHours.rate,
      ),
      judged: [],
      conclusion: summary,
      placedFrom: null,
    };
  }
  const { start } = usage;
  const toJudge = start === null ? usage.readings : usage.readings.filter((reading) => reading.at > start.at);
  const timeline = scanTimeline(toJudge, { units, start });
  // A late reading that upsets what was believed before the place the scan was taken up from: take it all again.
  if (start !== null && timeline.voidFrom !== null && timeline.voidFrom <= start.at)
    throw new NeedsAllReadings();
  const judgements = new Map(timeline.readings.map((judged) => [judged.id, judged]));
  const readings = usage.readings.map((reading) => ({ ...reading, ...judgements.get(reading.id) }));
  const distance = counter(
    readings,
    'odometerLifetimeKm',
    start?.odometer,
    history,
    usage.isComplete,
    timeZone,
  );
  const engineHours = counter(
    readings,
    'engineHoursLifetime',
    start?.engineHours,
    history,
    usage.isComplete,
    timeZone,
  );
  return {
    distance,
    engineHours,
    judged: usage.readings
      .filter((stored) => differs(stored, judgements.get(stored.id)))
      .map((stored) => judgements.get(stored.id) as JudgedReading),
    conclusion: {
      distance: distance.conclusion,
      engineHours: engineHours.conclusion,
      checkpoints: mergeCheckpoints(summary.checkpoints, start, timeline),
    },
    placedFrom:
      start === null
        ? -Infinity
        : Math.min(
            start.at,
            start.odometer.core.head?.at ?? Infinity,
            start.engineHours.core.head?.at ?? Infinity,
          ),
  };
}

function differs(stored: StoredUsage, judged: JudgedReading | undefined): boolean {
  return (
    judged !== undefined &&
    (judged.status !== stored.status ||
      judged.reason !== stored.reason ||
      judged.detail !== stored.detail ||
      judged.odometerLifetimeKm !== stored.odometerLifetimeKm ||
      judged.engineHoursLifetime !== stored.engineHoursLifetime)
  );
}

function pointsOf(
  readings: readonly (StoredUsage | (StoredUsage & JudgedReading))[],
  lifetime: Lifetime,
): UsagePoint[] {
  return readings.flatMap((reading) =>
    reading[lifetime] === null ? [] : [{ at: reading.at, value: reading[lifetime] }],
  );
}

function counter(
  readings: readonly StoredUsage[],
  lifetime: Lifetime,
  startState: CounterState | undefined,
  history: VehicleHistory,
  isComplete: boolean,
  timeZone: string,
): CounterView {
  const loaded = pointsOf(readings, lifetime);
  const head = startState?.core.head;
  // The last value believed before the loaded readings begin is known from the place the scan was taken up from.
  const points =
    head && (loaded[0]?.at ?? Infinity) > head.at ? [{ at: head.at, value: head.life }, ...loaded] : loaded;
  const last = points.at(-1) ?? null;
  const isOdometer = lifetime === 'odometerLifetimeKm';
  const expected = isOdometer ? history.expectedDailyKm : history.expectedDailyHours;
  if (last === null)
    return viewOf(
      points,
      isComplete,
      { at: null, lifetime: null, offset: null, rate: null },
      dailyRate([], expected, history.inUseMonths),
    );
  const days = lastOfEachDay(points, timeZone);
  if (!isComplete && !isUsualWindowEnough(days, history.inUseMonths)) throw new NeedsAllReadings();
  const rate = dailyRate(days, expected, history.inUseMonths);
  const shown = readings.findLast((reading) => reading.at === last.at && reading[lifetime] === last.value);
  const raw = isOdometer ? shown?.odometerKm : shown?.engineHours;
  const offset = raw === undefined || raw === null ? (startState?.core.base ?? 0) : last.value - raw;
  return viewOf(points, isComplete, { at: last.at, lifetime: last.value, offset, rate }, rate);
}

function viewOf(
  points: UsagePoint[] | null,
  isComplete: boolean,
  conclusion: CounterConclusion,
  rate: DailyRate | null,
): CounterView {
  const known = points ?? [];
  const first = known[0];
  const crossing = crossingLookup(known);
  const value = valueLookup(known);
  const last =
    conclusion.at === null || conclusion.lifetime === null
      ? null
      : { at: conclusion.at, value: conclusion.lifetime };
  return {
    conclusion: { ...conclusion, rate },
    last,
    rate,
    crossedAt(limit) {
      if (
        !isComplete &&
        last !== null &&
        limit <= last.value &&
        (first === undefined || limit <= first.value)
      )
        throw new NeedsAllReadings();
      return crossing(limit);
    },
    valueAt(at) {
      if (!isComplete && last !== null && at <= last.at && (first === undefined || at < first.at))
        throw new NeedsAllReadings();
      return value(at);
    },
  };
}

/** Usage at an instant: interpolated between readings, carried on at the daily rate after the last. */
export function positionAt(at: number, usage: ConcludedUsage, timeZone: string): Position {
  const on = (view: CounterView): number | null => {
    const { last, rate } = view;
    if (last === null) return null;
    if (at <= last.at) return view.valueAt(at);
    return rate === null ? last.value : estimateNow(rate, last, at, timeZone);
  };
  return { odometerLifetimeKm: on(usage.distance), engineHoursLifetime: on(usage.engineHours) };
}
