import { faultCodeText } from '../faults/fault-code.js';
import { joined, type SightingSpan } from '../faults/spans.js';
import { meaningForWork } from '../faults/what-it-opens.js';
import type { Message } from '../message.js';
import { message } from './messages.js';
import type { FollowUpCause, ReportedFault } from './settling.js';
import { type HotDay, hotDaysTold } from './hot-days.js';

/** When a fault was first seen active, or last read as gone. */
export interface FaultEvent {
  /** The span, or the day of temperatures, that it comes from. */
  id: string;
  at: number;
  seen: ReportedFault | null;
  /** The code that was read as gone. */
  gone: string | null;
}

/**
 * What the vehicle reported of faults that mean something, as the follow-ups take it.
 *
 * @param spans in any order
 * @example faultEventsOf([SPN 110 FMI 0 active from 0 to 9]) // [{ at: 0, seen: { code: 'SPN 110 FMI 0', lastAt: 9, … }, gone: null }]
 */
export function faultEventsOf(spans: readonly SightingSpan[]): FaultEvent[] {
  const byCode = new Map<string, SightingSpan[]>();
  for (const span of spans) {
    const code = faultCodeText(span.code);
    byCode.set(code, [...(byCode.get(code) ?? []), span]);
  }
  // Several codes come at one instant, in no order: the line tells them by their names.
  return [...byCode.keys()].sort().flatMap((code) => eventsOfCode(code, byCode.get(code) ?? []));
}

function eventsOfCode(code: string, spans: readonly SightingSpan[]): FaultEvent[] {
  const [first] = spans;
  const meaning = first === undefined ? null : meaningForWork(first.code);
  if (meaning === null) return [];
  const active = joined(spans.filter(({ isActive }) => isActive));
  const gone = joined(spans.filter(({ isActive }) => !isActive));
  const isReadAsGone = (from: number, to: number): boolean =>
    gone.some(({ firstAt, lastAt }) => firstAt < to && lastAt > from);
  return [
    ...active.map(({ id, firstAt: at, lastAt }, index) => {
      const before = active[index - 1];
      const goesOn = before !== undefined && !isReadAsGone(before.lastAt, at);
      const comesAndGoes = isReadAsGone(at, lastAt);
      return {
        ...{ id, at, gone: null },
        seen: { code, meaning, hotDay: null, lastAt, goesOn, comesAndGoes, seenAgainAfter: null },
      };
    }),
    ...gone.map(({ id, lastAt: at }) => ({ id, at, seen: null, gone: code })),
  ];
}

/**
 * Hot days as the follow-ups take them: they open the same inspection as a fault code for an
 * overheated engine, and only what is done after the last value above the alarm settles it.
 *
 * @param days in any order
 * @example hotDayEventsOf([{ id: 'd', at: 5, until: 9, day: '2026-04-02', highestC: 112, alarmC: 107 }])[0].seen.lastAt // 9
 */
export function hotDayEventsOf(days: readonly HotDay[]): FaultEvent[] {
  return days.map(({ id, at, until, day, highestC, alarmC }) => ({
    ...{ id, at, gone: null },
    seen: {
      ...{ code: null, meaning: 'overheated', lastAt: until, seenAgainAfter: null },
      // A temperature is measured, not stored: nobody has to clear it.
      ...{ goesOn: false, comesAndGoes: true },
      hotDay: { day, highestC, alarmC },
    },
  }));
}

/**
 * What is told of faults beside the findings: first that the engine overheated, last how hot it got
 * and the codes.
 */
export function faultsTold(causes: readonly FollowUpCause[]): { first: Message[]; last: Message[] } {
  const faults = causes.flatMap(({ fault }) => fault ?? []);
  if (faults.length === 0) return { first: [], last: [] };
  const codes = [...new Set(faults.flatMap(({ code }) => code ?? []))];
  const hasOverheated = faults.some(({ meaning }) => meaning === 'overheated');
  return {
    first: hasOverheated ? [message('follow-up-engine-overheated')] : [],
    last: [
      ...hotDaysTold(faults.flatMap(({ hotDay }) => hotDay ?? [])),
      ...(codes.length === 0 ? [] : [message('follow-up-fault-codes', { codes })]),
    ],
  };
}
