import { Temporal } from 'temporal-polyfill';
import { civilDateOf } from '../src/domain/calendar/civil-date.js';
import { DISTRICT } from './district.js';

/** An instant on a day in the district, in RFC 3339 form with its offset. */
export function instantOf(day: number, hour: number, minute: number): string {
  return Temporal.PlainDate.from(civilDateOf(day))
    .toZonedDateTime({ timeZone: DISTRICT.timeZone, plainTime: Temporal.PlainTime.from({ hour, minute }) })
    .toString({ timeZoneName: 'never', smallestUnit: 'second' });
}
