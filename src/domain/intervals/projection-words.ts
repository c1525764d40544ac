import { civilDateAt } from '../calendar/zone.js';
import type { Message } from '../message.js';
import { told } from '../quantities/told.js';
import type { Unit } from '../quantities/units.js';
import { isStale } from '../usage/projection.js';
import type { DailyRate, JudgedUsageReading } from '../usage/types.js';
import { readDueLine } from './due-state.js';
import { message } from './messages.js';
import { rateMethod } from './rate-method.js';
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
export function projectionReasons(outcome: ProjectionOutcome): Message[] {
  const held = outcome.judged
    .filter(({ status }) => status === 'held')
    .flatMap(({ id, detail }) =>
      detail === null ? [] : [message('projection-reading-left-out', { place: Number(id) + 1, why: detail })],
    );
  return [rateInWords(outcome), ...dueInWords(outcome), ...held, ...staleness(outcome)];
}

function rateInWords({ distance: { rate }, unit }: ProjectionOutcome): Message {
  if (rate === null) return message('projection-no-rate');
  return message('projection-rate', {
    perDay: told('distance', rate.perDay, unit),
    low: told('distance', rate.low, unit),
    high: told('distance', rate.high, unit),
    days: rate.n,
  });
}

function dueInWords({ due, rule, lastDone, asOf }: ProjectionOutcome): Message[] {
  if (rule === null) return [message('projection-no-interval')];
  if (lastDone === null) return [message('projection-no-last-done')];
  if (due === null) return [];
  const dated = due.dueOn === null ? message('projection-no-date') : dueOnInWords(due, due.dueOn, asOf);
  return due.needsReading ? [dated, message('projection-needs-reading')] : [dated];
}

function dueOnInWords(due: DuePoint, dueOn: CivilDate, asOf: CivilDate): Message {
  const { state } = readDueLine(due, asOf);
  return message('projection-due', {
    dueOn,
    trigger: due.trigger === 'engine-hours' ? 'hours' : (due.trigger ?? 'time'),
    earliestOn: due.earliestOn ?? dueOn,
    latestOn: due.latestOn ?? dueOn,
    asOf,
    state: state === 'late' || state === 'due' || state === 'window' ? state : 'notDue',
  });
}

function staleness({ distance, engineHours, asOf, timeZone }: ProjectionOutcome): Message[] {
  const last = Math.max(distance.last?.at ?? -Infinity, engineHours.last?.at ?? -Infinity);
  if (last === -Infinity || !isStale(civilDateAt(last, timeZone), asOf)) return [];
  return [message('projection-stale')];
}

/** The formulas and defaults behind a projection. @example projectionBasis(null, null, 'UTC') // ['dates in UTC'] */
export function projectionBasis(rate: DailyRate | null, due: DuePoint | null, timeZone: string): Message[] {
  const dates = [...(due?.basis ?? []), message('basis-projection-dates', { timeZone })];
  if (rate === null) return dates;
  const band = rate.sPerRootDay === null ? 'share' : 'scatter';
  return [message('basis-daily-rate', { method: rateMethod(rate), band }), ...dates];
}
