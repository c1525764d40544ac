import { addDays, epochDayOf } from '../../domain/calendar/civil-date.js';
import { componentTerm } from '../../domain/intervals/terms.js';
import type { Action, Component, Trigger } from '../../domain/intervals/types.js';
import type { Message } from '../../domain/message.js';
import type { CircuitName } from '../../domain/vehicles/circuits.js';
import { dateInWords } from '../../platform/words/dates.js';
import type { Language } from '../../platform/words/languages.js';
import { textOf, textsOf } from '../../platform/words/render.js';
import { dateOf, hourOfDayBefore, instantOf, text } from './icalendar.js';
import { message } from './messages.js';
import { workInCalendar } from './work-in-calendar.js';

/** The content of a due line's event. A change to any of it raises the line's sequence number. */
export interface CalendarLine {
  id: string;
  unitNumber: string;
  depotId: string | null;
  component: Component;
  action: Action;
  item: string | null;
  namedCircuit: CircuitName | null;
  windowOpensOn: string;
  dueOn: string;
  lateOn: string;
  trigger: Trigger | null;
  lastDoneOn: string | null;
  /** The job that started the current cycle; null before the first job. */
  lastDoneReportId: string | null;
  postponedUntil: string | null;
  /** The day of the visit that will do this work; null when there is none. */
  visitOn: string | null;
  calendarSequence: number;
  revisedAt: Date;
  isAtOnce: boolean;
  /** Its interval is ready-made, and nobody has confirmed or replaced it. */
  isStarter: boolean;
}

/**
 * The hour, in the reader's time zone, of the alarm on the day the window opens. A workshop's day
 * begins about then.
 */
const ALARM_HOUR = 8;

/**
 * The id of the event: one for each cycle of a line. Finished work leaves the calendar, and the
 * next cycle is another event, perhaps years ahead. With one id for both, a calendar would not
 * repeat an alarm that was once dismissed.
 */
function identityOf({ id, lastDoneReportId }: CalendarLine): string {
  return `${id}.${lastDoneReportId ?? 'in-service'}@weephole`;
}

function sentencesOf(line: CalendarLine, language: Language): Message[] {
  const { trigger, windowOpensOn, lateOn, postponedUntil, lastDoneOn, visitOn, isStarter } = line;
  const by = trigger === 'engine-hours' ? 'hours' : (trigger ?? 'none');
  const on = (date: string): { date: string } => ({ date: dateInWords(date, language) });
  return [
    message('calendar-due-by', { by }),
    message('calendar-window-opens', on(windowOpensOn)),
    ...(lateOn === 'infinity' ? [] : [message('calendar-overdue-from', on(lateOn))]),
    ...(postponedUntil === null ? [] : [message('calendar-postponed-until', on(postponedUntil))]),
    ...(visitOn === null ? [] : [message('calendar-at-visit', on(visitOn))]),
    ...(lastDoneOn === null ? [] : [message('calendar-counted-from', on(lastDoneOn))]),
    ...(isStarter ? [message('calendar-common-practice')] : []),
  ];
}

/**
 * The event of a due line: all day on its due date, with an alarm when its window opens (RFC 5545,
 * 3.6.1 and 3.6.6).
 */
export function eventOf(line: CalendarLine, depotName: string | undefined, language: Language): string[] {
  const reader = { language, units: null };
  const work = { unit: line.unitNumber, work: workInCalendar({ ...line, circuit: line.namedCircuit }) };
  const daysBefore = epochDayOf(line.dueOn) - epochDayOf(line.windowOpensOn);
  const revisedAt = instantOf(line.revisedAt);
  return [
    'BEGIN:VEVENT',
    `UID:${identityOf(line)}`,
    // Without a METHOD, this is the time of the last revision, not of the request (3.8.7.2).
    `DTSTAMP:${revisedAt}`,
    `LAST-MODIFIED:${revisedAt}`,
    `SEQUENCE:${line.calendarSequence}`,
    `DTSTART;VALUE=DATE:${dateOf(line.dueOn)}`,
    `DTEND;VALUE=DATE:${dateOf(addDays(line.dueOn, 1))}`,
    text('SUMMARY', textOf(message('calendar-due', work), reader)),
    text('DESCRIPTION', textsOf(sentencesOf(line, language), reader).join('\n')),
    ...(depotName === undefined ? [] : [text('LOCATION', depotName)]),
    text('CATEGORIES', textOf(componentTerm(line.component), reader)),
    'TRANSP:TRANSPARENT',
    'BEGIN:VALARM',
    'ACTION:DISPLAY',
    text('DESCRIPTION', textOf(message('calendar-due-alarm', work), reader)),
    `TRIGGER:${hourOfDayBefore(daysBefore, ALARM_HOUR)}`,
    'END:VALARM',
    'END:VEVENT',
  ];
}
