import { shown } from './shown.js';

const ZONE_WANTED = 'a time zone by its IANA name is needed, such as America/Denver';

/**
 * Why a text is not the name of a time zone; null when it is one. Offsets and abbreviations are
 * refused: `-07:00` and `MST` know no daylight saving time, and would put half the year's days an
 * hour out.
 */
export function timeZoneFault(value: unknown): string | null {
  if (value === undefined || value === null) return `is required: ${ZONE_WANTED}`;
  if (typeof value !== 'string') return `is ${shown(value)}; ${ZONE_WANTED}`;
  if (value !== 'UTC' && !/^[A-Za-z][A-Za-z0-9_+-]*(\/[A-Za-z0-9_+-]+)+$/.test(value)) {
    const why = /^[+-]?\d|^[A-Z]{2,5}$|^(UTC|GMT)[+-]/.test(value)
      ? ', which knows no daylight saving time'
      : '';
    return `is ${shown(value)}${why}; ${ZONE_WANTED}`;
  }
  try {
    const { timeZone } = new Intl.DateTimeFormat('en', { timeZone: value }).resolvedOptions();
    const differsInCase = timeZone !== value && timeZone.toLowerCase() === value.toLowerCase();
    return differsInCase ? `is ${shown(value)}; it is written ${timeZone}` : null;
  } catch {
    return `is ${shown(value)}, which is not known; ${ZONE_WANTED}`;
  }
}
