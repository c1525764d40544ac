import { civilDateOf, epochDayOf } from '../calendar/civil-date.js';
import { epochDayAt, MS_PER_DAY, startOfDay } from '../calendar/zone.js';
import { cautionsFor } from '../cautions/cautions.js';
import { plain, say } from '../checks/wording.js';
import type { Evaluation } from '../evaluation.js';
import { measure } from '../quantities/measures.js';
import { convert, type Unit } from '../quantities/units.js';
import { dailyRate } from '../usage/daily-rate.js';
import { isStale } from '../usage/projection.js';
import { scanTimeline } from '../usage/scan-timeline.js';
import type { DailyRate, UsagePoint } from '../usage/types.js';
import { crossingLookup, lastOfEachDay, valueLookup } from '../usage/usage-days.js';
import { dueLineOf } from './due-line.js';
import { readDueLine } from './due-state.js';
import { resolveRule } from './resolve-rule.js';
import type { Baseline, CivilDate, CounterOutlook, DuePoint, Duty, IntervalRule } from './types.js';

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

/** A counter may be read this much too low without being wrong, km: people round. */
const ROUNDING_KM = 5;

/**
 * When an interval comes due, by the readings of a vehicle: the whole projection for one line, from nothing but what is given.
 *
 * The readings are judged as those of a fleet are (one that goes back or runs too fast is left out, and the reasons say so); the daily rate is that of `dailyRate`, the dates
 * those of `dueLineOf`. The estimate is for the hour of the last reading on the day asked for, whole days on.
 *
 * @param input km, h, epoch milliseconds
 * @returns verdict null; computed: `dailyDistance` (km a day, with `low` and `high`), `method`, `estimatedOdometer`, `trigger`, `windowOpensOn`, `dueOn`, `lateOn`, `earliestOn`,
 * `latestOn`, each null where not known
 * @throws RangeError for a reading or a last job after `asOf`, an odometer at the last job ahead of a later reading, or an interval without a limit.
 * @example calculateProjection({ readings: weekly at 300 km, rule: every 10,000 km, lastDone: { on, odometerKm: 0, … }, … }).computed.dueOn // 233 days after the last job
 */
export function calculateProjection(input: ProjectionInput): Evaluation {
  const { timeZone, asOf, duty, rule, lastDone } = input;
  requireBy(input);
  const { readings } = scanTimeline(
    input.readings.map((reading, index) => ({
      ...reading,
      id: String(index),
      odometerReplaced: false,
      engineHoursReplaced: false,
      source: 'dash',
      decision: null,
      heldAtArrival: null,
    })),
    { units: input.unit === 'mi' ? 'us' : 'si' },
  );
  const lifetimes = new Map(readings.map((judged) => [Number(judged.id), judged]));
  const pointsOf = (key: 'odometerLifetimeKm' | 'engineHoursLifetime'): UsagePoint[] =>
    input.readings.flatMap(({ at }, index) => {
      const value = lifetimes.get(index)?.[key] ?? null;
      return value === null ? [] : [{ at, value }];
    });
  const distance = outlookOf(pointsOf('odometerLifetimeKm'), timeZone);
  const engineHours = outlookOf(pointsOf('engineHoursLifetime'), timeZone);
  const baseline = baselineOf(lastDone, distance, engineHours, input);
  const point =
    rule === null
      ? null
      : dueLineOf({
          rules: [{ from: baseline?.on ?? asOf, rule: resolveRule(rule, duty) }],
          baseline,
          scheduleOrigin: null,
          status: 'in-use',
          distance,
          engineHours,
          timeZone,
        });
  const due = point?.state === 'dated' ? point : null;
  const rate = distance.rate;
  const held = readings
    .filter(({ status }) => status === 'held')
    .map(({ id, detail }) => `Reading ${Number(id) + 1} was left out: ${detail}`);
  return {
    verdict: null,
    reasons: [
      rateInWords(distance, input),
      ...dueInWords(due, input),
      ...held,
      ...staleness(distance, engineHours, asOf, timeZone),
    ],
    computed: {
      dailyDistance:
        rate && Object.assign(measure('distance', rate.perDay), { low: rate.low, high: rate.high }),
      method: rate?.method ?? engineHours.rate?.method ?? null,
      estimatedOdometer: estimateOn(distance, asOf, timeZone),
      trigger: due?.trigger ?? null,
      windowOpensOn: due?.windowOpensOn ?? null,
      dueOn: due?.dueOn ?? null,
      lateOn: due?.lateOn ?? null,
      earliestOn: due && readDueLine(due, asOf).earliestOn,
      latestOn: due?.latestOn ?? null,
    },
    cautions: cautionsFor('planning'),
    basis: [...rateBasis(rate ?? engineHours.rate), ...(due?.basis ?? []), `dates in ${timeZone}`],
  };
}

function requireBy({ readings, lastDone, asOf, timeZone }: ProjectionInput): void {
  const lastDay = epochDayOf(asOf);
  readings.forEach(({ at }, index) => {
    if (epochDayAt(at, timeZone) > lastDay) {
      throw new RangeError(
        `readings[${index + 1}]: is of ${civilDateOf(epochDayAt(at, timeZone))}, after ${asOf}, the day this is asked for`,
      );
    }
  });
  if (lastDone !== null && lastDone.on > asOf)
    throw new RangeError(`lastDone: ${lastDone.on} is after ${asOf}, the day this is asked for`);
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

/** A counter that the last job does not tell is read off the readings around it. */
function baselineOf(
  lastDone: ProjectionInput['lastDone'],
  distance: CounterOutlook,
  engineHours: CounterOutlook,
  { timeZone, unit }: ProjectionInput,
): Baseline | null {
  if (lastDone === null) return null;
  const { on } = lastDone;
  const at = startOfDay(on, timeZone);
  const { last } = distance;
  const km = lastDone.odometerKm;
  if (km !== null && last !== null && last.at >= at + MS_PER_DAY && km > last.value + ROUNDING_KM) {
    const typed = convert(km, 'km', unit);
    const meant = unit === 'mi' && typed <= last.value + ROUNDING_KM ? `: was it ${plain(typed)} km?` : '';
    throw new RangeError(
      `lastDone: an odometer of ${say(km, 'km', unit)} on ${on} is ahead of the ${say(last.value, 'km', unit)} read after that${meant}`,
    );
  }
  return {
    kind: 'job',
    on,
    odometerLifetimeKm: km ?? distance.valueAt(at),
    engineHoursLifetime: lastDone.engineHours ?? engineHours.valueAt(at),
  };
}

function estimateOn({ rate, last }: CounterOutlook, asOf: CivilDate, timeZone: string) {
  if (rate === null || last === null) return null;
  const days = epochDayOf(asOf) - epochDayAt(last.at, timeZone);
  return measure('distance', last.value + rate.perDay * days);
}

function rateInWords({ rate }: CounterOutlook, { unit }: ProjectionInput): string {
  if (rate === null)
    return 'No daily distance: it takes two odometer readings that are believed, at least 7 days apart.';
  return `${say(rate.perDay, 'km', unit)} a day, ${say(rate.low, 'km', unit)} to ${say(rate.high, 'km', unit)}, by ${rate.n} days with a reading.`;
}

function dueInWords(due: DuePoint | null, { rule, lastDone, asOf }: ProjectionInput): string[] {
  if (rule === null) return ['No interval is given, so nothing comes due.'];
  if (lastDone === null) return ['It is not said when it was last done, so there is nothing to count from.'];
  if (due === null) return [];
  const words: string[] = [];
  if (due.dueOn === null) words.push('No limit of this interval has a date.');
  else {
    words.push(
      `Due on ${due.dueOn} by ${due.trigger}, between ${due.earliestOn} and ${due.latestOn}; its state on ${asOf} is ${readDueLine(due, asOf).state}.`,
    );
  }
  if (due.needsReading)
    words.push(
      'A limit in distance or engine hours could not be dated: it needs readings, and the counter at the last job.',
    );
  return words;
}

function staleness(
  distance: CounterOutlook,
  engineHours: CounterOutlook,
  asOf: CivilDate,
  timeZone: string,
): string[] {
  const last = Math.max(distance.last?.at ?? -Infinity, engineHours.last?.at ?? -Infinity);
  if (last === -Infinity || !isStale(civilDateOf(epochDayAt(last, timeZone)), asOf)) return [];
  return ['The last reading is more than 60 days old (common practice): it needs a reading.'];
}

function rateBasis(rate: DailyRate | null): string[] {
  if (rate === null) return [];
  const how: Record<DailyRate['method'], string> = {
    'theil-sen-90-days':
      'Theil–Sen slope over the last value of each day in the 90 days up to the last reading',
    'theil-sen-365-days':
      'Theil–Sen slope over the last value of each day in the 365 days up to the last reading',
    'theil-sen-since-change': 'Theil–Sen slope over the days since the use of the vehicle changed',
    mean: 'mean between the first and the last reading',
    declared: 'the daily use that the fleet expects',
  };
  const band =
    rate.sPerRootDay === null ? '÷ and × 1.5 (common practice)' : '90 % limits from the scatter of daily use';
  return [`daily rate: ${how[rate.method]} (Sen 1968); ${band}`];
}
