import { addDays } from '../../domain/calendar/civil-date.js';
import { partInWords } from '../../domain/job-card/work/words.js';
import type { CalendarVisit } from './calendar-feed.queries.js';
import { dateOf, hourOfDayBefore, instantOf, text } from './icalendar.js';

/**
 * The day before it the alarm goes off, in the afternoon: the vehicle is to be there in the
 * morning.
 */
const ALARM = hourOfDayBefore(1, 16);

/**
 * The event of a confirmed visit, all of its day (RFC 5545, 3.6.1). It keeps its identity until the
 * work is done or it is cancelled.
 */
export function visitEventOf(visit: CalendarVisit, depotName: string | undefined): string[] {
  const work = visit.lines.map(
    (line) => `${line.action} ${partInWords({ ...line, action: line.action as never })}`,
  );
  const summary = `${visit.unitNumber}: visit, ${work.join(', ')}`;
  const revisedAt = instantOf(visit.revisedAt);
  return [
    'BEGIN:VEVENT',
    `UID:visit.${visit.id}@weephole`,
    `DTSTAMP:${revisedAt}`,
    `LAST-MODIFIED:${revisedAt}`,
    `SEQUENCE:${visit.sequence}`,
    `DTSTART;VALUE=DATE:${dateOf(visit.on)}`,
    `DTEND;VALUE=DATE:${dateOf(addDays(visit.on, 1))}`,
    text('SUMMARY', summary),
    text('DESCRIPTION', `The vehicle comes in for:\n${work.join('\n')}`),
    ...(depotName === undefined ? [] : [text('LOCATION', depotName)]),
    'CATEGORIES:visit',
    'TRANSP:TRANSPARENT',
    'BEGIN:VALARM',
    'ACTION:DISPLAY',
    text('DESCRIPTION', `${summary}: tomorrow`),
    `TRIGGER:${ALARM}`,
    'END:VALARM',
    'END:VEVENT',
  ];
}
