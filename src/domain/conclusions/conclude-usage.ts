import { isSameMessage } from '../same-message.js';
import { mergeCheckpoints } from '../usage/checkpoints.js';
import { dailyRate } from '../usage/daily-rate.js';
import { inScanOrder, scanTimeline, standsAsItWas } from '../usage/scan-timeline.js';
import type { Checkpoint, CounterState, JudgedUsageReading, Timeline, UsagePoint } from '../usage/types.js';
import { lastOfEachDay } from '../usage/usage-days.js';
import {
  type CounterMemory,
  daysToKeep,
  isReachEnough,
  type KnownDays,
  packDays,
  unpackDays,
} from '../usage/usage-memory.js';
import { type CounterView, counterView, NeedsAllFacts, NOTHING_REMEMBERED } from './counter-view.js';
import type { LoadedUsage, StoredUsage, UsageConclusion, VehicleHistory } from './vehicle-history.js';

export interface ConcludedUsage {
  distance: CounterView;
  engineHours: CounterView;
  /** Judgements that differ from the stored ones. */
  judged: JudgedUsageReading[];
  /** Judgements of readings that are not stored yet. */
  judgedNew: JudgedUsageReading[];
  /**
   * What to store. Call it after all look-ups of the counters, because they are stored too.
   */
  conclusion(): UsageConclusion;
  /** Facts from this instant on must be placed again; null: none. */
  placedFrom: number | null;
}

type Lifetime = 'odometerLifetimeKm' | 'engineHoursLifetime';

/** Judges the readings again, finds the rates, and gives the value of every counter. */
export function concludeUsage(loaded: VehicleHistory, timeZone: string): ConcludedUsage {
  // Of several at one instant the one that is judged last counts, not the one that arrived last.
  const readingsInOrder = inScanOrder(loaded.usage.readings);
  const history = { ...loaded, usage: { ...loaded.usage, readings: readingsInOrder } };
  const { usage, summary } = history;
  if (!usage.isChanged) return asItStands(history);
  const { start } = usage;
  const toJudge = start === null ? usage.readings : usage.readings.filter((reading) => reading.at > start.at);
  const timeline = scanTimeline(toJudge, { start });
  const judgements = new Map(timeline.readings.map((judged) => [judged.id, judged]));
  if (start !== null && isUpset(usage, start, timeline, judgements)) throw new NeedsAllFacts();
  const readings = usage.readings.map((reading) => ({ ...reading, ...judgements.get(reading.id) }));
  const newest = timeline.checkpoints.at(-1) ?? start;
  const distance = counter(readings, 'odometerLifetimeKm', history, timeZone);
  const engineHours = counter(readings, 'engineHoursLifetime', history, timeZone);
  const judged = usage.readings.flatMap((stored) => {
    const judgement = judgements.get(stored.id);
    return judgement && (stored.isNew || differs(stored, judgement)) ? [{ stored, judgement }] : [];
  });
  return {
    distance: distance.view,
    engineHours: engineHours.view,
    judged: judged.filter(({ stored }) => !stored.isNew).map(({ judgement }) => judgement),
    judgedNew: judged.filter(({ stored }) => stored.isNew).map(({ judgement }) => judgement),
    conclusion: () => ({
      distance: distance.view.conclusion,
      engineHours: engineHours.view.conclusion,
      checkpoints: summary.checkpoints && mergeCheckpoints(knownCheckpoints(summary), start, timeline),
      memory:
        newest && standsAsItWas(newest, timeline)
          ? {
              checkpoint: newest,
              odometer: memoryOf(distance, newest, timeZone),
              engineHours: memoryOf(engineHours, newest, timeZone),
            }
          : null,
    }),
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

/**
 * Whether a reading from before the place where judging was taken up is judged otherwise than it
 * was stored: a later one contradicts it now, or none does any longer.
 */
function isUpset(
  { readings }: LoadedUsage,
  start: Checkpoint,
  { voidFrom }: Timeline,
  judgements: ReadonlyMap<string, JudgedUsageReading>,
): boolean {
  if (voidFrom !== null && voidFrom <= start.at) return true;
  return readings.some((stored) => {
    const judgement = stored.at <= start.at && judgements.get(stored.id);
    return judgement && differs(stored, judgement);
  });
}

/** The checkpoints that were loaded, with the one that is remembered. */
export function knownCheckpoints({ checkpoints, memory }: UsageConclusion): Checkpoint[] {
  return [...(checkpoints ?? []), ...(memory ? [memory.checkpoint] : [])];
}

function asItStands({ usage, summary }: VehicleHistory): ConcludedUsage {
  const { memory } = summary;
  const view = (lifetime: Lifetime): CounterView => {
    const [conclusion, remembered] =
      lifetime === 'odometerLifetimeKm'
        ? [summary.distance, memory?.odometer]
        : [summary.engineHours, memory?.engineHours];
    const points = usage.isComplete ? pointsOf(usage.readings, lifetime) : [];
    return counterView(
      points,
      usage.isComplete,
      conclusion,
      remembered ? { ...remembered, soundUntil: Infinity } : NOTHING_REMEMBERED,
    );
  };
  return {
    distance: view('odometerLifetimeKm'),
    engineHours: view('engineHoursLifetime'),
    judged: [],
    judgedNew: [],
    conclusion: () => summary,
    placedFrom: null,
  };
}

function differs(stored: StoredUsage, judged: JudgedUsageReading): boolean {
  return (
    judged.status !== stored.status ||
    judged.reason !== stored.reason ||
    !isSameMessage(judged.detail, stored.detail) ||
    judged.odometerLifetimeKm !== stored.odometerLifetimeKm ||
    judged.engineHoursLifetime !== stored.engineHoursLifetime
  );
}

function pointsOf(
  readings: readonly (StoredUsage | (StoredUsage & JudgedUsageReading))[],
  lifetime: Lifetime,
): UsagePoint[] {
  return readings.flatMap((reading) =>
    reading[lifetime] === null ? [] : [{ at: reading.at, value: reading[lifetime] }],
  );
}

/** A counter, with the days that its rate was found from. */
interface ConcludedCounter {
  view: CounterView;
  known: KnownDays;
  points: UsagePoint[];
}

function counter(
  readings: readonly StoredUsage[],
  lifetime: Lifetime,
  history: VehicleHistory,
  timeZone: string,
): ConcludedCounter {
  const { usage, inUseMonths } = history;
  const { start, isComplete } = usage;
  const isOdometer = lifetime === 'odometerLifetimeKm';
  const startState = isOdometer ? start?.odometer : start?.engineHours;
  const memory = isOdometer ? usage.memory?.odometer : usage.memory?.engineHours;
  const loaded = pointsOf(readings, lifetime);
  const head = startState?.core.head;
  // The last value believed before the loaded readings begin is known from the place the scan was
  // taken up from.
  const points =
    head && (loaded[0]?.at ?? Infinity) > head.at ? [{ at: head.at, value: head.life }, ...loaded] : loaded;
  const isWhole = isComplete || !head;
  const known = memory
    ? { reach: memory.reach, days: unpackDays(memory, loaded, timeZone) }
    : { reach: isWhole ? ('all' as const) : ('usual' as const), days: lastOfEachDay(points, timeZone) };
  if (!isReachEnough(known, inUseMonths)) throw new NeedsAllFacts();
  const rate = dailyRate(
    known.days,
    isOdometer ? history.expectedDailyKm : history.expectedDailyHours,
    inUseMonths,
  );
  const remembered = isOdometer ? history.summary.memory?.odometer : history.summary.memory?.engineHours;
  const view = counterView(
    points,
    isComplete,
    { ...standing(readings, lifetime, points.at(-1) ?? null, startState), rate },
    remembered && start ? { ...remembered, soundUntil: start.at } : NOTHING_REMEMBERED,
  );
  return { view, known, points };
}

/**
 * A counter's last believed value, and the difference between the figure it shows and its lifetime
 * value.
 */
function standing(
  readings: readonly StoredUsage[],
  lifetime: Lifetime,
  last: UsagePoint | null,
  startState: CounterState | undefined,
): { at: number | null; lifetime: number | null; offset: number | null } {
  if (last === null) return { at: null, lifetime: null, offset: null };
  const shown = readings.findLast((reading) => reading.at === last.at && reading[lifetime] === last.value);
  const head = startState?.core.head;
  const raw =
    shown === undefined
      ? head && startState.core.lines[head.source]?.raw
      : lifetime === 'odometerLifetimeKm'
        ? shown.odometerKm
        : shown.engineHours;
  return { at: last.at, lifetime: last.value, offset: last.value - (raw ?? last.value) };
}

/** What is kept of a counter for going on from a checkpoint. */
function memoryOf(
  { view, known, points }: ConcludedCounter,
  { at }: Checkpoint,
  timeZone: string,
): CounterMemory {
  // Values later than the checkpoint are read again with what follows.
  const isUpToDate = (points.at(-1)?.at ?? -Infinity) <= at;
  const settled = isUpToDate ? known : withoutLater(known, points, at, timeZone);
  const { reach, days } = daysToKeep(settled);
  return { reach, days: packDays(days), ...view.lookedUp(at) };
}

function withoutLater(
  { reach, days }: KnownDays,
  points: readonly UsagePoint[],
  until: number,
  timeZone: string,
): KnownDays {
  const earlier = days.filter((day) => day.at <= until);
  // The checkpoint's day may have an earlier value that a later one had replaced.
  const tail = points.filter((point) => point.at <= until && point.at > (earlier.at(-1)?.at ?? -Infinity));
  return { reach, days: [...earlier, ...lastOfEachDay(tail, timeZone).slice(-1)] };
}
