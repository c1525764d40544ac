import { Temporal } from 'temporal-polyfill';
import type { Message } from '../../domain/message.js';
import { message } from './messages.js';
import { shown } from './shown.js';
import { noSuchDay } from './wording.js';

const EARLIEST_YEAR = 1950;
const LATEST_YEAR = 2150;
const RFC_3339 = /^\d{4}-\d{2}-\d{2}[Tt ]\d{2}:\d{2}:\d{2}(\.\d{1,9})?([Zz]|[+-]\d{2}:\d{2})$/;

/** Returns why a text is not an RFC 3339 instant; null when it is one. */
export function instantFault(value: unknown): Message | null {
  if (value === undefined || value === null) return message('field-required');
  if (typeof value !== 'string' || value.length > 40)
    return message('field-not-instant', { given: shown(value) });
  if (/^\d{4}-\d{2}-\d{2}[Tt ]\d{2}:\d{2}(:\d{2}(\.\d+)?)?$/.test(value))
    return message('field-no-offset', { given: shown(value) });
  if (!RFC_3339.test(value)) return message('field-not-instant', { given: shown(value) });
  const day = dateFault(value.slice(0, 10));
  if (day) return day;
  return Number.isNaN(Date.parse(value.replace(' ', 'T').toUpperCase()))
    ? message('field-no-such-time', { given: shown(value) })
    : null;
}

/** Returns why a text is not a civil date; null when it is one. */
export function dateFault(value: unknown): Message | null {
  if (value === undefined || value === null) return message('field-required');
  if (typeof value !== 'string' || !/^\d{4}-\d{2}-\d{2}$/.test(value))
    return message('field-not-date', { given: shown(value) });
  const year = Number(value.slice(0, 4));
  if (year < EARLIEST_YEAR || year > LATEST_YEAR)
    return message('field-year-not-taken', {
      year: String(year),
      first: String(EARLIEST_YEAR),
      last: String(LATEST_YEAR),
    });
  try {
    Temporal.PlainDate.from(value, { overflow: 'reject' });
    return null;
  } catch {
    return noSuchDay(shown(value));
  }
}
