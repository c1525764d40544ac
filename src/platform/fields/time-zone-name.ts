import type { Message } from '../../domain/message.js';
import { message } from './messages.js';
import { shown } from './shown.js';

/**
 * Returns why a text is not the name of a time zone; null when it is one. Offsets and abbreviations
 * are refused: `-07:00` and `MST` have no daylight saving time, so the time would be an hour wrong
 * for half of the year.
 */
export function timeZoneFault(value: unknown): Message | null {
  if (value === undefined || value === null) return message('field-time-zone-required');
  if (typeof value !== 'string') return message('field-not-time-zone', { given: shown(value) });
  if (value !== 'UTC' && !/^[A-Za-z][A-Za-z0-9_+-]*(\/[A-Za-z0-9_+-]+)+$/.test(value)) {
    const isFixed = /^[+-]?\d|^[A-Z]{2,5}$|^(UTC|GMT)[+-]/.test(value);
    return message(isFixed ? 'field-time-zone-fixed' : 'field-not-time-zone', { given: shown(value) });
  }
  try {
    const { timeZone } = new Intl.DateTimeFormat('en', { timeZone: value }).resolvedOptions();
    const differsInCase = timeZone !== value && timeZone.toLowerCase() === value.toLowerCase();
    return differsInCase
      ? message('field-time-zone-spelling', { given: shown(value), written: timeZone })
      : null;
  } catch {
    return message('field-time-zone-unknown', { given: shown(value) });
  }
}
