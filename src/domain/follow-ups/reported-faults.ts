import { faultCodeText } from '../faults/fault-code.js';
import { joined, type SightingSpan } from '../faults/spans.js';
import { meaningForWork } from '../faults/what-it-opens.js';
import type { Message } from '../message.js';
import { message } from './messages.js';
import type { ReportedFault } from './settling.js';

/** When a fault was first seen active, or last read as gone. */
export interface FaultEvent {
  /** The span that it comes from. */
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
        seen: { code, meaning, lastAt, goesOn, comesAndGoes, seenAgainAfter: null },
      };
    }),
    ...gone.map(({ id, lastAt: at }) => ({ id, at, seen: null, gone: code })),
  ];
}

/** What is told of faults beside the findings: first that the engine overheated, last the codes. */
export function faultsTold(faults: readonly ReportedFault[]): { first: Message[]; last: Message[] } {
  if (faults.length === 0) return { first: [], last: [] };
  const hasOverheated = faults.some(({ meaning }) => meaning === 'overheated');
  return {
    first: hasOverheated ? [message('follow-up-engine-overheated')] : [],
    last: [message('follow-up-fault-codes', { codes: [...new Set(faults.map(({ code }) => code))] })],
  };
}
