import { faultCodeText } from '../faults/fault-code.js';
import { meaningOf } from '../faults/meanings.js';
import { joined, type SightingSpan } from '../faults/spans.js';
import type { Message } from '../message.js';
import { message } from './messages.js';
import { type HotDay, hotDaysTold } from './hot-days.js';
import type { FollowUpCause, ReportedFault } from './settling.js';

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
  return [...byCode].flatMap(([code, ofCode]) => eventsOfCode(code, ofCode));
}

function eventsOfCode(code: string, spans: readonly SightingSpan[]): FaultEvent[] {
  const [first] = spans;
  const meaning = first === undefined ? null : meaningOf(first.code);
  if (meaning === null) return [];
  const active = joined(spans.filter(({ isActive }) => isActive));
  const gone = joined(spans.filter(({ isActive }) => !isActive));
  return [
    ...active.map(({ id, firstAt: at, lastAt }) => ({
      ...{ id, at, gone: null },
      seen: { code, meaning, hotDay: null, lastAt, seenAgainAfter: null },
    })),
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
      hotDay: { day, highestC, alarmC },
    },
  }));
}

/** Whether the vehicle reported the fault of a cause at an instant or after it. */
export function isSeenSince({ fault }: FollowUpCause, at: number): boolean {
  return fault !== null && fault.lastAt >= at;
}

/**
 * A cause that was settled, had its fault not been seen again: from then on it is told anew.
 *
 * @param by what would have settled it
 */
export function seenAgain(cause: FollowUpCause, by: string, at: number): FollowUpCause {
  if (cause.fault === null || cause.fault.lastAt === at) return cause;
  return { ...cause, openedAt: at, isRepaired: false, fault: { ...cause.fault, seenAgainAfter: by } };
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
