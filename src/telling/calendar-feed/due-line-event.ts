import { addDays, epochDayOf } from '../../domain/calendar/civil-date.js';
import type { Component, Trigger } from '../../domain/intervals/types.js';
import { partInWords } from '../../domain/job-card/work/words.js';
import { dateOf, hourOfDayBefore, instantOf, text } from './icalendar.js';

/**
 * A due line as a calendar shows it: what it says of itself, so that its number of revisions tells
 * of every change.
 */
export interface CalendarLine {
  id: string;
  unitNumber: string;
  depotId: string | null;
  component: Component;
  action: string;
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

const BY: Record<Trigger, string> = {
  distance: 'by distance, as the vehicle has been used',
  time: 'by the calendar',
  'engine-hours': 'by engine hours, as the vehicle has been used',
};

/**
 * The event's identity: one for each cycle of a line. Work that is done leaves the calendar, and
 * the next time it comes due is another event, years ahead: with one identity for both, whoever
 * dismissed the alarm once would not be told again.
 */
function identityOf({ id, lastDoneReportId }: CalendarLine): string {
  return `${id}.${lastDoneReportId ?? 'in-service'}@weephole`;
}

function description(line: CalendarLine): string {
  const { trigger, windowOpensOn, lateOn, postponedUntil, lastDoneOn, visitOn } = line;
  return [
    `Comes due ${trigger === null ? 'on this day' : BY[trigger]}.`,
    `The window opens on ${windowOpensOn}.`,
    ...(lateOn === 'infinity' ? [] : [`Late from ${lateOn} on.`]),
    ...(postponedUntil === null ? [] : [`Put off until ${postponedUntil}.`]),
    ...(visitOn === null ? [] : [`To be done at the visit on ${visitOn}.`]),
    ...(lastDoneOn === null ? [] : [`Counted from ${lastDoneOn}.`]),
  ].join('\n');
}

/**
 * The event of a due line, all of the day on which it is due, with an alarm when its window opens
 * (RFC 5545, 3.6.1 and 3.6.6).
 */
export function eventOf(line: CalendarLine, depotName: string | undefined): string[] {
  const summary = `${line.unitNumber}: ${line.action} ${partInWords({ ...line, action: line.action as never })}`;
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
    text('SUMMARY', summary),
    text('DESCRIPTION', description(line)),
    ...(depotName === undefined ? [] : [text('LOCATION', depotName)]),
    `CATEGORIES:${line.component}`,
    'TRANSP:TRANSPARENT',
    'BEGIN:VALARM',
    'ACTION:DISPLAY',
    text('DESCRIPTION', `${summary}: the window opens`),
    `TRIGGER:${hourOfDayBefore(daysBefore, ALARM_HOUR)}`,
    'END:VALARM',
    'END:VEVENT',
  ];
}
