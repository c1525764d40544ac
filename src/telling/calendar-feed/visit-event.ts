import { addDays } from '../../domain/calendar/civil-date.js';
import type { Language } from '../../platform/words/languages.js';
import { textOf, textsOf } from '../../platform/words/render.js';
import type { CalendarVisit } from './calendar-feed.queries.js';
import { dateOf, hourOfDayBefore, instantOf, text } from './icalendar.js';
import { message } from './messages.js';
import { workInCalendar } from './work-in-calendar.js';

/**
 * The alarm goes off in the afternoon before, because the vehicle has to be there in the morning.
 */
const ALARM = hourOfDayBefore(1, 16);

/**
 * The all-day event of a confirmed visit (RFC 5545, 3.6.1). It keeps its id until the work is done
 * or the visit is cancelled.
 */
export function visitEventOf(
  visit: CalendarVisit,
  depotName: string | undefined,
  language: Language,
): string[] {
  const reader = { language, units: null };
  const work = visit.lines.map(workInCalendar);
  const isStarter = visit.lines.some((line) => line.isStarter);
  const told = [
    message('calendar-visit-work'),
    ...work,
    ...(isStarter ? [message('calendar-visit-common-practice')] : []),
  ];
  const about = { unit: visit.unitNumber, work };
  const revisedAt = instantOf(visit.revisedAt);
  return [
    'BEGIN:VEVENT',
    `UID:visit.${visit.id}@weephole`,
    `DTSTAMP:${revisedAt}`,
    `LAST-MODIFIED:${revisedAt}`,
    `SEQUENCE:${visit.sequence}`,
    `DTSTART;VALUE=DATE:${dateOf(visit.on)}`,
    `DTEND;VALUE=DATE:${dateOf(addDays(visit.on, 1))}`,
    text('SUMMARY', textOf(message('calendar-visit', about), reader)),
    text('DESCRIPTION', textsOf(told, reader).join('\n')),
    ...(depotName === undefined ? [] : [text('LOCATION', depotName)]),
    text('CATEGORIES', textOf(message('calendar-category-visit'), reader)),
    'TRANSP:TRANSPARENT',
    'BEGIN:VALARM',
    'ACTION:DISPLAY',
    text('DESCRIPTION', textOf(message('calendar-visit-alarm', about), reader)),
    `TRIGGER:${ALARM}`,
    'END:VALARM',
    'END:VEVENT',
  ];
}
