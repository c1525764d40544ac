import { addDays, epochDayOf } from '../../domain/calendar/civil-date.js';
import { componentTerm } from '../../domain/intervals/terms.js';
import type { Action, Component, Trigger } from '../../domain/intervals/types.js';
import type { Message } from '../../domain/message.js';
import { dateInWords } from '../../platform/words/dates.js';
import type { Language } from '../../platform/words/languages.js';
import { textOf, textsOf } from '../../platform/words/render.js';
import { dateOf, hourOfDayBefore, instantOf, text } from './icalendar.js';
import { message } from './messages.js';
import { workInCalendar } from './work-in-calendar.js';

/**
 * A due line as a calendar shows it: what it says of itself, so that its number of revisions tells
 * of every change.
 */
export interface CalendarLine {
  id: string;
  unitNumber: string;
  depotId: string | null;
  component: Component;
  action: Action;
  item: string | null;
  windowOpensOn: string;
  dueOn: string;
  lateOn: string;
  trigger: Trigger | null;
  lastDoneOn: string | null;
  /** The job that the cycle began with; null before the first. */
  lastDoneReportId: string | null;
  postponedUntil: string | null;
  /** The day of the visit that it is to be done at; null: none stands. */
  visitOn: string | null;
  calendarSequence: number;
  revisedAt: Date;
  isAtOnce: boolean;
}

/**
 * At which hour of the day the window opens the alarm goes off, where the reader is: when a
 * workshop's day begins.
 */
const ALARM_HOUR = 8;

/**
 * The event's identity: one for each cycle of a line. Work that is done leaves the calendar, and
 * the next time it comes due is another event, years ahead: with one identity for both, whoever
 * dismissed the alarm once would not be told again.
 */
function identityOf({ id, lastDoneReportId }: CalendarLine): string {
  return `${id}.${lastDoneReportId ?? 'in-service'}@weephole`;
}

function sentencesOf(line: CalendarLine, language: Language): Message[] {
  const { trigger, windowOpensOn, lateOn, postponedUntil, lastDoneOn, visitOn } = line;
  const by = trigger === 'engine-hours' ? 'hours' : (trigger ?? 'none');
  const on = (date: string): { date: string } => ({ date: dateInWords(date, language) });
  return [
    message('calendar-due-by', { by }),
    message('calendar-window-opens', on(windowOpensOn)),
    ...(lateOn === 'infinity' ? [] : [message('calendar-overdue-from', on(lateOn))]),
    ...(postponedUntil === null ? [] : [message('calendar-postponed-until', on(postponedUntil))]),
    ...(visitOn === null ? [] : [message('calendar-at-visit', on(visitOn))]),
    ...(lastDoneOn === null ? [] : [message('calendar-counted-from', on(lastDoneOn))]),
  ];
}

/**
 * The event of a due line, all of the day on which it is due, with an alarm when its window opens
 * (RFC 5545, 3.6.1 and 3.6.6).
 */
export function eventOf(line: CalendarLine, depotName: string | undefined, language: Language): string[] {
  const reader = { language, units: null };
  const work = { unit: line.unitNumber, work: workInCalendar(line) };
  const daysBefore = epochDayOf(line.dueOn) - epochDayOf(line.windowOpensOn);
  const revisedAt = instantOf(line.revisedAt);
  return [
    'BEGIN:VEVENT',
    `UID:${identityOf(line)}`,
    // Without a METHOD this is when the content was last revised, and not when it was asked for
    // (3.8.7.2).
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
