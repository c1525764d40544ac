import { addDays, civilDateOf, epochDayOf } from '../calendar/civil-date.js';
import { epochDayAt, MS_PER_DAY, startOfDay } from '../calendar/zone.js';
import { cautionsFor } from '../cautions/cautions.js';
import type { Evaluation } from '../evaluation/evaluation.js';
import { ImpossibleValue } from '../impossible-value.js';
import { measure } from '../quantities/measures.js';
import { told } from '../quantities/told.js';
import { convert, type Unit } from '../quantities/units.js';
import { asTyped } from '../quantities/wording.js';
import { dailyRate } from '../usage/daily-rate.js';
import { scanTimeline } from '../usage/scan-timeline.js';
import type { JudgedUsageReading, UsagePoint } from '../usage/types.js';
import { crossingLookup, lastOfEachDay, valueLookup } from '../usage/usage-days.js';
import { dueLineOf } from './due-line.js';
import { cycleOf } from './due-point.js';
import { readDueLine } from './due-state.js';
import { later, whenReached } from './limit-dates.js';
import { message } from './messages.js';
import { projectionBasis, projectionReasons } from './projection-words.js';
import { marginsOf, resolveRule } from './resolve-rule.js';
import type {
  Baseline,
  CivilDate,
  CounterOutlook,
  DuePoint,
  Duty,
  IntervalRule,
  ResolvedRule,
} from './types.js';

/** What is to be projected; km and h as the counters showed them. */
export interface ProjectionInput {
  /** Epoch milliseconds. */
  readings: readonly { at: number; odometerKm: number | null; engineHours: number | null }[];
  /** Null: only the rate is wanted. */
  rule: IntervalRule | null;
  duty: Duty;
  /** Null: nothing is known to count from. */
  lastDone: { on: CivilDate; odometerKm: number | null; engineHours: number | null } | null;
  /** IANA name of the zone in which the dates are. */
  timeZone: string;
  asOf: CivilDate;
  /** The distance unit that was typed, for wording. */
  unit: Unit;
}

/** Both counters of the vehicle, with the zone in which their days are. */
interface Outlooks {
  distance: CounterOutlook;
  engineHours: CounterOutlook;
  timeZone: string;
}

/** A counter may be read this much too low without being wrong, km: people round. */
const ROUNDING_KM = 5;

/**
 * When an interval comes due, by the readings of a vehicle: the whole projection for one line, from
 * nothing but what is given.
 *
 * The readings are judged as those of a fleet are (one that goes back or runs too fast is left out,
 * and the reasons say so); the daily rate is that of `dailyRate`, the dates those of `dueLineOf`.
 * The estimate is for the hour of the last reading on the day asked for, whole days on.
 *
 * @param input km, h, epoch milliseconds
 * @returns verdict null; computed: `dailyDistance` (km a day, with `low` and `high`), `method`,
 * `estimatedOdometer`, `trigger`, `windowOpensOn`, `dueOn`, `lateOn`, `earliestOn`, `latestOn`,
 * each null where not known
 * @throws ImpossibleValue for a reading or a last job after `asOf`, an odometer at the last job
 *   ahead of a later reading, or an interval without a limit.
 * @example calculateProjection({ readings, rule, … }).computed.dueOn // 50 km a day, 3,250 km left after 2026-01-29: '2026-04-04'
 */
export function calculateProjection(input: ProjectionInput): Evaluation {
  const { timeZone, asOf, rule } = input;
  requireBy(input);
  const judged = judge(input);
  const outlooks: Outlooks = {
    distance: outlookOf(pointsOf(input, judged, 'odometerLifetimeKm'), timeZone),
    engineHours: outlookOf(pointsOf(input, judged, 'engineHoursLifetime'), timeZone),
    timeZone,
  };
  const baseline = baselineOf(input, outlooks);
  const resolved = rule === null ? null : resolveRule(rule, input.duty);
  const due = resolved && baseline && dueOf(resolved, baseline, outlooks);
  const rate = outlooks.distance.rate;
  return {
    verdict: null,
    reasons: projectionReasons({ ...input, ...outlooks, due, judged }),
    computed: {
      dailyDistance:
        rate && Object.assign(measure('distance', rate.perDay), { low: rate.low, high: rate.high }),
      method: rate?.method ?? outlooks.engineHours.rate?.method ?? null,
      estimatedOdometer: estimateOn(outlooks.distance, asOf, timeZone),
      trigger: due?.trigger ?? null,
      windowOpensOn: due?.windowOpensOn ?? null,
      dueOn: due?.dueOn ?? null,
      lateOn: due && lateOn(due, resolved, baseline, outlooks),
      earliestOn: due && readDueLine(due, asOf).earliestOn,
      latestOn: due?.latestOn ?? null,
    },
    cautions: cautionsFor('planning'),
    basis: projectionBasis(rate ?? outlooks.engineHours.rate, due, timeZone),
  };
}

function requireBy({ readings, lastDone, asOf, timeZone }: ProjectionInput): void {
  const lastDay = epochDayOf(asOf);
  readings.forEach(({ at }, index) => {
    const day = epochDayAt(at, timeZone);
    if (day <= lastDay) return;
    const readOn = civilDateOf(day);
    const detail = message('projection-reading-after', { readOn, asOf });
    throw new ImpossibleValue({ field: 'readings', index, value: readOn, limit: { max: asOf }, detail });
  });
  if (lastDone !== null && lastDone.on > asOf) {
    const detail = message('projection-last-done-after', { on: lastDone.on, asOf });
    throw new ImpossibleValue({ field: 'lastDone', value: lastDone.on, limit: { max: asOf }, detail });
  }
}

/** The readings judged as those of one source, by their position. */
function judge({ readings }: ProjectionInput): JudgedUsageReading[] {
  const { readings: judged } = scanTimeline(
    readings.map((reading, index) => ({
      ...reading,
      id: String(index),
      odometerReplaced: false,
      engineHoursReplaced: false,
      source: 'dash',
      decision: null,
      heldAtArrival: null,
    })),
  );
  return judged.sort((left, right) => Number(left.id) - Number(right.id));
}

function pointsOf(
  { readings }: ProjectionInput,
  judged: readonly JudgedUsageReading[],
  lifetime: 'odometerLifetimeKm' | 'engineHoursLifetime',
): UsagePoint[] {
  const points = readings.flatMap(({ at }, index) => {
    const value = judged[index]?.[lifetime] ?? null;
    return value === null ? [] : [{ at, value }];
  });
  // Of several at one instant the highest counts, in whatever order they were given.
  return points.sort((left, right) => left.at - right.at || left.value - right.value);
}

function outlookOf(points: readonly UsagePoint[], timeZone: string): CounterOutlook {
  const days = lastOfEachDay(points, timeZone);
  const last = days.at(-1);
  return {
    rate: dailyRate(days, null, null),
    last: last ? { at: last.at, value: last.value } : null,
    crossedAt: crossingLookup(points),
    valueAt: valueLookup(points),
  };
}

/**
 * What the interval counts from. A counter that the last job does not give is interpolated from the
 * readings around it.
 */
function baselineOf({ lastDone, unit }: ProjectionInput, outlooks: Outlooks): Baseline | null {
  if (lastDone === null) return null;
  const { on, odometerKm: km } = lastDone;
  const at = startOfDay(on, outlooks.timeZone);
  const { last } = outlooks.distance;
  if (km !== null && last !== null && last.at >= at + MS_PER_DAY && km > last.value + ROUNDING_KM) {
    const typed = convert(km, 'km', unit);
    const isKm = unit === 'mi' && typed <= last.value + ROUNDING_KM;
    const value = asTyped(km, 'km', unit);
    throw new ImpossibleValue({
      field: 'lastDone',
      value,
      limit: { max: asTyped(last.value, 'km', unit) },
      meant: isKm ? { value: value.value, unit: 'km' } : null,
      detail: message('projection-last-done-ahead', {
        shown: told('distance', km, unit),
        on,
        last: told('distance', last.value, unit),
        kilometres: isKm ? 'yes' : 'no',
        typed,
      }),
    });
  }
  return {
    kind: 'job',
    on,
    odometerLifetimeKm: km ?? outlooks.distance.valueAt(at),
    engineHoursLifetime: lastDone.engineHours ?? outlooks.engineHours.valueAt(at),
  };
}

function dueOf(rule: ResolvedRule, baseline: Baseline, outlooks: Outlooks): DuePoint | null {
  const line = dueLineOf({
    ...outlooks,
    rules: [{ from: baseline.on, rule }],
    baseline,
    scheduleOrigin: null,
    status: 'in-use',
  });
  return line?.state === 'dated' ? line : null;
}

function estimateOn({ rate, last }: CounterOutlook, asOf: CivilDate, timeZone: string) {
  if (rate === null || last === null) return null;
  const days = epochDayOf(asOf) - epochDayAt(last.at, timeZone);
  return measure('distance', last.value + rate.perDay * days);
}

/**
 * The day on which the grace ends. A stored line has none if that day comes from an estimate that
 * will be stale by then; a projection by itself shows the estimate.
 */
function lateOn(
  { dueAt, dueOn }: DuePoint,
  rule: ResolvedRule,
  baseline: Baseline,
  { distance, engineHours, timeZone }: Outlooks,
): CivilDate | null {
  const { grace } = marginsOf(rule, cycleOf(rule, baseline));
  const counter = { start: null, isUsed: true, inUseSince: null, notBefore: baseline.on, timeZone };
  const reached = (outlook: CounterOutlook, limit: number | null, more: number) =>
    limit === null ? null : whenReached(limit + more, { ...counter, outlook });
  const days = [
    reached(distance, dueAt.odometerLifetimeKm, grace.km)?.on,
    reached(engineHours, dueAt.engineHoursLifetime, grace.hours)?.on,
    dueAt.on === null ? null : addDays(dueAt.on, grace.days),
  ].filter((day) => day != null);
  const [earliest] = days.sort();
  return earliest === undefined || dueOn === null ? null : later(earliest, addDays(dueOn, 1));
}
