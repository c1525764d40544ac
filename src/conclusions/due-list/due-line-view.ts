import { civilDateAt } from '../../domain/calendar/zone.js';
import { epochDayOf } from '../../domain/calendar/civil-date.js';
import { STARTER_INTERVAL } from '../../domain/evaluation/starter-mark.js';
import { readDueLine } from '../../domain/intervals/due-state.js';
import type { DueState, Trigger } from '../../domain/intervals/types.js';
import type { Quantity } from '../../domain/quantities/units.js';
import type { CircuitName } from '../../domain/vehicles/circuits.js';
import { estimateNow } from '../../domain/usage/projection.js';
import { optionalMeasure, type Showing } from '../../platform/presenting/measures.js';
import type { MessageView } from '../../platform/words/message.dto.js';
import { shownMessages, type Telling } from '../../platform/words/shown-messages.js';
import type { DueLineRow } from './due-line-row.js';

/** A due line as readers see it. */
export interface DueLineView {
  id: string;
  state: DueState;
  component: string;
  item: string | null;
  /** Left out where the vehicle has only one. */
  circuit?: CircuitName;
  action: string;
  origin: 'interval' | 'follow-up';
  vehicle: { id: string; unitNumber: string; depotId: string | null };
  trigger: Trigger | null;
  windowOpensOn: string | null;
  dueOn: string | null;
  lateOn: string | null;
  earliestOn: string | null;
  latestOn: string | null;
  dueAt: { odometer: Quantity | null; engineHours: Quantity | null; date: string | null };
  remaining: { distance: Quantity | null; engineHours: Quantity | null; days: number | null };
  lastDone: {
    on: string;
    odometer: Quantity | null;
    engineHours: Quantity | null;
    jobReportId: string | null;
  } | null;
  stale: boolean;
  needsReading: boolean;
  postponedUntil: string | null;
  atOnce: boolean;
  /** Why a follow-up was opened, the worst first. */
  causes: MessageView[];
  /** What it rests on, where that is a ready-made interval. */
  basis: MessageView[];
  /** The vehicle was released for service although a reading failed that opened this line. */
  releasedWithFindings: boolean;
  /** The visit planned for this line. Null when none is planned, or the visit no longer applies. */
  visit: { id: string; on: string; assignedTo: string | null } | null;
}

const NO_BASELINE = { state: 'no-baseline' } as const;

function asDated({
  windowOpensOn,
  dueOn,
  lateOn,
  lateLapsesOn,
  lateForGoodOn,
  earliestOn,
  staleOn,
}: DueLineRow) {
  return {
    state: 'dated' as const,
    windowOpensOn,
    dueOn,
    lateOn,
    lateLapsesOn,
    lateForGoodOn,
    earliestOn,
    staleOn,
  };
}

/** A line without a date has the date `infinity`. */
const dated = (on: string | null): string | null => (on === 'infinity' ? null : on);

/** What the counter will show when it reaches a lifetime value. */
const onCounter = (lifetime: number | null, offset: number | null): number | null =>
  lifetime === null ? null : lifetime - (offset ?? 0);

function left(
  due: number | null,
  { at, value }: { at: number | null; value: number | null },
  rate: { perDay: number | null; inUseMonths: number[] | null },
  now: Date,
  timeZone: string,
): number | null {
  if (due === null || at === null || value === null) return null;
  const { perDay, inUseMonths } = rate;
  if (perDay === null) return due - value;
  return due - estimateNow({ perDay, inUseMonths }, { at, value }, now.getTime(), timeZone);
}

/**
 * Shows a due line as it is at an instant. The presenter converts its measures to the reader's
 * units.
 */
export const dueLineView = (row: DueLineRow, now: Date, timeZone: string): DueLineView =>
  dueLineViews(now, timeZone)(row);

/**
 * Shows due lines as they are at an instant.
 *
 * @param show how to show a measure. By default the presenter converts it to the reader's units
 * later
 * @param tell how to show a message. By default the presenter puts it into words later
 */
export function dueLineViews(
  now: Date,
  timeZone: string,
  show: Showing = optionalMeasure,
  tell: Telling = shownMessages,
): (row: DueLineRow) => DueLineView {
  const today = civilDateAt(now.getTime(), timeZone);
  const day = epochDayOf(today);
  return (row) => viewOn({ now, timeZone, today, day }, row, show, tell);
}

/** The instant at which lines are looked at, and its date in the fleet's zone. */
interface Moment {
  now: Date;
  timeZone: string;
  today: string;
  /** Today as a number of days, to subtract dates. */
  day: number;
}

function viewOn(moment: Moment, row: DueLineRow, show: Showing, tell: Telling): DueLineView {
  const { state, earliestOn, stale } = readDueLine(row.noBaseline ? NO_BASELINE : asDated(row), moment.today);
  return {
    id: row.id,
    state,
    component: row.component,
    item: row.item,
    circuit: row.namedCircuit ?? undefined,
    action: row.action,
    origin: row.origin,
    vehicle: { id: row.vehicleId, unitNumber: row.unitNumber, depotId: row.depotId },
    trigger: row.trigger,
    windowOpensOn: dated(row.windowOpensOn),
    dueOn: dated(row.dueOn),
    lateOn: dated(row.lateOn),
    earliestOn: dated(earliestOn),
    latestOn: dated(row.latestOn),
    dueAt: dueAtOf(row, show),
    remaining: remainingOf(moment, row, show),
    lastDone: row.lastDoneOn === null ? null : lastDoneOf(row, row.lastDoneOn, show),
    stale,
    needsReading: row.needsReading,
    postponedUntil: row.postponedUntil,
    atOnce: row.isAtOnce,
    causes: row.causes === null ? [] : tell(row.causes),
    basis: row.isStarter ? tell([STARTER_INTERVAL]) : [],
    releasedWithFindings: row.isReleased,
    visit:
      row.visitId === null || row.visitOn === null
        ? null
        : { id: row.visitId, on: row.visitOn, assignedTo: row.visitAssignee },
  };
}

function dueAtOf(row: DueLineRow, show: Showing): DueLineView['dueAt'] {
  return {
    odometer: show('distance', onCounter(row.dueOdometerLifetimeKm, row.odometerOffsetKm)),
    engineHours: show('engine-hours', onCounter(row.dueEngineHoursLifetime, row.engineHoursOffset)),
    date: row.dueDate,
  };
}

function remainingOf(
  { now, timeZone, day }: Moment,
  row: DueLineRow,
  show: Showing,
): DueLineView['remaining'] {
  const { kmPerDay, hoursPerDay, inUseMonths } = row;
  const odometer = { at: row.odometerReadAt, value: row.odometerLifetimeKm };
  const hours = { at: row.engineHoursReadAt, value: row.engineHoursLifetime };
  const distanceRate = { perDay: kmPerDay, inUseMonths };
  const hoursRate = { perDay: hoursPerDay, inUseMonths };
  const dueOn = dated(row.dueOn);
  return {
    distance: show('distance', left(row.dueOdometerLifetimeKm, odometer, distanceRate, now, timeZone)),
    engineHours: show('engine-hours', left(row.dueEngineHoursLifetime, hours, hoursRate, now, timeZone)),
    days: dueOn === null ? null : epochDayOf(dueOn) - day,
  };
}

function lastDoneOf(row: DueLineRow, on: string, show: Showing): DueLineView['lastDone'] {
  return {
    on,
    odometer: show('distance', onCounter(row.lastDoneOdometerLifetimeKm, row.odometerOffsetKm)),
    engineHours: show('engine-hours', onCounter(row.lastDoneEngineHoursLifetime, row.engineHoursOffset)),
    jobReportId: row.lastDoneReportId,
  };
}
