import type { Message } from '../../domain/message.js';
import { Temporal } from 'temporal-polyfill';
import { type DateOrder, dateReadings } from '../../domain/spreadsheets/dates.js';
import { startOfDay } from '../../domain/calendar/zone.js';
import { dateFault, instantFault } from '../fields/instant-fault.js';
import { quoted, type Read } from './cells.js';
import { noSuchDay } from '../fields/wording.js';
import { message } from './messages.js';

/** Whether day or month comes first in this order. */
export function comesFirst(order: DateOrder): 'day' | 'month' {
  return order === 'day-first' ? 'day' : 'month';
}

const OTHER_ORDER = /^\d{1,2}[./-]\d{1,2}[./-]\d{2,4}( |$)/;

/**
 * Rewrites a date that ends with its year as the API writes dates. Null for any other text. A day
 * that does not exist is a fault.
 */
function yearFirst(cell: string, order: DateOrder | null): Read<string> | null {
  const readings = dateReadings(cell);
  if (!readings) return null;
  const { 'day-first': day, 'month-first': month, time } = readings;
  if (order === null && day !== null && month !== null && day !== month)
    return {
      fault: message('cell-date-unclear', { given: quoted(cell), dayFirst: day, monthFirst: month }),
    };
  const date = order === null ? (day ?? month) : readings[order];
  if (date !== null) return { value: time === undefined ? date : `${date} ${time}` };
  // When no order is known, a date that fits neither order is a day that does not exist.
  if (order === null || (day === null && month === null)) return { fault: noSuchDay(quoted(cell)) };
  return { fault: message('cell-not-date-by-order', { given: quoted(cell), comesFirst: comesFirst(order) }) };
}

/**
 * Reads a civil date. Ignores a midnight that a spreadsheet has added.
 *
 * @param order the order of day and month in the file; when it is null, a date that can be read
 *   in two ways is a fault
 */
export function dateIn(text: string, order: DateOrder | null): Read<string> {
  const trimmed = text.trim().replace(/[T ]0?0:00(:00)?$/, '');
  const turned = yearFirst(trimmed, order);
  if (turned && 'fault' in turned) return turned;
  const cell = turned?.value ?? trimmed;
  const fault = dateFault(cell);
  return fault === null ? { value: cell } : { fault: inOtherOrder(trimmed, fault) };
}

/**
 * Reads an instant: with its offset (RFC 3339), or as local time in the fleet's time zone. A date
 * without a time means noon of that day.
 *
 * @param order as in `dateIn`
 * @returns an RFC 3339 instant
 */
export function instantIn(text: string, timeZone: string, order: DateOrder | null): Read<string> {
  const trimmed = text.trim();
  const turned = yearFirst(trimmed, order);
  if (turned && 'fault' in turned) return turned;
  const cell = turned?.value ?? trimmed;
  const local = /^(\d{4}-\d{2}-\d{2})[T ](\d{1,2}:\d{2}(?::\d{2})?)$/.exec(cell);
  if (local) return localTime(cell, local[1] ?? '', local[2] ?? '', timeZone);
  if (/^\d{4}-\d{2}-\d{2}$/.test(cell)) {
    const fault = dateFault(cell);
    return fault ? { fault } : { value: new Date(noonOf(cell, timeZone)).toISOString() };
  }
  const fault = instantFault(cell);
  return fault === null ? { value: cell } : { fault: inOtherOrder(cell, fault) };
}

function localTime(cell: string, day: string, time: string, timeZone: string): Read<string> {
  const fault = dateFault(day);
  if (fault) return { fault };
  try {
    const at = Temporal.PlainDateTime.from(`${day}T${time.padStart(time.split(':').length * 3 - 1, '0')}`, {
      overflow: 'reject',
    });
    return { value: at.toZonedDateTime(timeZone, { disambiguation: 'reject' }).toInstant().toString() };
  } catch {
    return { fault: message('cell-time-not-in-zone', { given: quoted(cell), zone: timeZone }) };
  }
}

function inOtherOrder(cell: string, fault: Message): Message {
  return OTHER_ORDER.test(cell) ? message('cell-not-date-otherwise', { fault }) : fault;
}

/** Noon of a civil day, used for events whose time of day is not known. Epoch milliseconds. */
export function noonOf(date: string, timeZone: string): number {
  return startOfDay(date, timeZone) + 12 * 3_600_000;
}
