import { civilDateAt } from '../calendar/zone.js';
import type { Unit } from '../quantities/units.js';
import { say } from '../quantities/wording.js';
import { isStale } from '../usage/projection.js';
import type { DailyRate, JudgedUsageReading } from '../usage/types.js';
import { readDueLine } from './due-state.js';
import type { CivilDate, CounterOutlook, DuePoint } from './types.js';

/** What a projection came to, for its reasons. */
export interface ProjectionOutcome {
  distance: CounterOutlook;
  engineHours: CounterOutlook;
  judged: readonly JudgedUsageReading[];
  /** Null: nothing comes due. */
  due: DuePoint | null;
  rule: object | null;
  lastDone: object | null;
  asOf: CivilDate;
  timeZone: string;
  /** The distance unit for wording. */
  unit: Unit;
}

/**
 * Why a projection is what it is, in plain words: the rate, the days, the readings that were left
 * out, and what is missing.
 *
 * @example projectionReasons(outcome)[0] // '50 km a day, 50 km to 50 km, by 5 days with a reading.'
 */
export function projectionReasons(outcome: ProjectionOutcome): string[] {
  const held = outcome.judged
    .filter(({ status }) => status === 'held')
    .map(({ id, detail }) => `Reading ${Number(id) + 1} was left out: ${detail?.code ?? ''}`);
  return [rateInWords(outcome), ...dueInWords(outcome), ...held, ...staleness(outcome)];
}

function rateInWords({ distance: { rate }, unit }: ProjectionOutcome): string {
  if (rate === null)
    return 'No daily distance: it takes two odometer readings that are believed, at least 7 days apart.';
  return `${say(rate.perDay, 'km', unit)} a day, ${say(rate.low, 'km', unit)} to ${say(rate.high, 'km', unit)}, by ${rate.n} days with a reading.`;
}

function dueInWords({ due, rule, lastDone, asOf }: ProjectionOutcome): string[] {
  if (rule === null) return ['No interval is given, so nothing comes due.'];
  if (lastDone === null) return ['It is not said when it was last done, so there is nothing to count from.'];
  if (due === null) return [];
  const words =
    due.dueOn === null
      ? ['No limit of this interval has a date.']
      : [
          `Due on ${due.dueOn} by ${due.trigger}, between ${due.earliestOn} and ${due.latestOn}; its state on ${asOf} is ${readDueLine(due, asOf).state}.`,
        ];
  if (due.needsReading) {
    words.push(
      'A limit in distance or engine hours could not be dated: it needs readings, and the counter at the last job.',
    );
  }
  return words;
}

function staleness({ distance, engineHours, asOf, timeZone }: ProjectionOutcome): string[] {
  const last = Math.max(distance.last?.at ?? -Infinity, engineHours.last?.at ?? -Infinity);
  if (last === -Infinity || !isStale(civilDateAt(last, timeZone), asOf)) return [];
  return ['The last reading is more than 60 days old (common practice): it needs a reading.'];
}

const METHODS: Record<DailyRate['method'], string> = {
  'theil-sen-90-days':
    'Theil–Sen slope (Sen 1968) over the last value of each day in the 90 days up to the last reading',
  'theil-sen-365-days':
    'Theil–Sen slope (Sen 1968) over the last value of each day in the 365 days up to the last reading',
  'weighed-weeks':
    'mean rates since each week in which the use of the vehicle may have changed, weighed by how likely that is',
  mean: 'mean between the first and the last reading',
  declared: 'the daily use that is expected',
};

/** The formulas and defaults behind a projection. @example projectionBasis(null, null, 'UTC') // ['dates in UTC'] */
export function projectionBasis(rate: DailyRate | null, due: DuePoint | null, timeZone: string): string[] {
  const dates = [...(due?.basis ?? []), `dates in ${timeZone}`];
  if (rate === null) return dates;
  const band =
    rate.sPerRootDay === null ? '÷ and × 1.5 (common practice)' : '90 % limits from the scatter of daily use';
  return [`daily rate: ${METHODS[rate.method]}; ${band}`, ...dates];
}
