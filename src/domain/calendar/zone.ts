import { Temporal } from 'temporal-polyfill';
import { ImpossibleValue } from '../impossible-value.js';
import { civilDateOf, type CivilDate, epochDayOf } from './civil-date.js';
import { message } from './messages.js';

export const MS_PER_DAY = 86_400_000;

interface OffsetSpan {
  from: number;
  to: number;
  offsetMs: number;
}

/** Zones that were found to be known. */
const knownZones = new Set<string>();

/**
 * Spans of constant offset met so far, by zone. A handful a zone, and it spares a calendar
 * computation for each reading.
 */
const spansByZone = new Map<string, OffsetSpan[]>();

/**
 * The civil day of an instant in a zone, as days since 1970-01-01.
 *
 * @param at epoch milliseconds; an interpolated instant need not be whole.
 * @param timeZone IANA name.
 * @throws ImpossibleValue when the zone is unknown.
 * @example epochDayAt(Date.UTC(2024, 2, 1, 3), 'America/Denver') // 19782 (29 February, 20:00)
 */
export function epochDayAt(at: number, timeZone: string): number {
  return Math.floor((at + offsetAt(at, timeZone)) / MS_PER_DAY);
}

/** The civil date of an instant (epoch milliseconds) in a zone. @example civilDateAt(0, 'America/Denver') // '1969-12-31' */
export function civilDateAt(at: number, timeZone: string): CivilDate {
  return civilDateOf(epochDayAt(at, timeZone));
}

/**
 * The first instant of a civil date in a zone, in epoch milliseconds; not always midnight, where
 * the clock is put forward then.
 *
 * @throws ImpossibleValue when the date or the zone is none.
 * @example startOfDay('2026-03-08', 'America/Denver') // Date.UTC(2026, 2, 8, 7)
 */
export function startOfDay(date: CivilDate, timeZone: string): number {
  epochDayOf(date);
  requireZone(timeZone);
  return Temporal.PlainDate.from(date).toZonedDateTime(timeZone).epochMilliseconds;
}

function offsetAt(at: number, timeZone: string): number {
  let spans = spansByZone.get(timeZone);
  const known = spans?.find((span) => at >= span.from && at < span.to);
  if (known) return known.offsetMs;
  requireZone(timeZone);
  const here = Temporal.Instant.fromEpochMilliseconds(Math.floor(at)).toZonedDateTimeISO(timeZone);
  const next = here.getTimeZoneTransition('next')?.epochMilliseconds ?? Infinity;
  // `previous` is strictly before, so it is asked of the next moment: `at` itself may be the
  // transition.
  const previous =
    here.add({ milliseconds: 1 }).getTimeZoneTransition('previous')?.epochMilliseconds ?? -Infinity;
  if (!spans) spansByZone.set(timeZone, (spans = []));
  const span = { from: previous, to: next, offsetMs: here.offsetNanoseconds / 1e6 };
  spans.push(span);
  return span.offsetMs;
}

function requireZone(timeZone: string): void {
  if (knownZones.has(timeZone)) return;
  try {
    Temporal.Instant.fromEpochMilliseconds(0).toZonedDateTimeISO(timeZone);
  } catch {
    const detail = message('time-zone-unknown', { timeZone });
    throw new ImpossibleValue({ field: 'timeZone', value: timeZone, limit: { form: 'IANA name' }, detail });
  }
  knownZones.add(timeZone);
}
