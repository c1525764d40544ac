import { tell } from '../language.js';
import type { DueLine, DueState, Quantity } from '../types.js';
import { dayInWords, quantityInWords } from '../words.js';

/** Found unsafe by a reading, and not put off to a later day. */
export const isToDoAtOnce = ({ atOnce, state }: DueLine): boolean => atOnce && state !== 'window';

/** The state of a line, and whether it is to be done at once. */
export function stateInWords(line: DueLine): string {
  const state = tell(`board-state-${line.state}`);
  return isToDoAtOnce(line) ? tell('board-state-at-once', { state }) : state;
}

/** `12 late`, `3 due` */
export const countsInWords = (counts: Record<DueState, number>, states: readonly DueState[]): string[] =>
  states.map((state) => tell(`board-counted-${state}`, { count: counts[state] }));

/**
 * When a line is due, between which days it may come to, by which limit, and what is left to that.
 */
export function dueInWords(line: DueLine): string {
  return [...whenDue(line), ...whatIsLeft(line)].join(' ');
}

function whenDue({ dueOn, earliestOn, latestOn, trigger, postponedUntil, needsReading }: DueLine): string[] {
  if (dueOn === null) return [tell('board-no-date'), ...(needsReading ? [tell('board-needs-reading')] : [])];
  const on = dayInWords(dueOn);
  return [
    earliestOn !== null && latestOn !== null && earliestOn !== latestOn
      ? tell('board-due-between', { on, earliest: dayInWords(earliestOn), latest: dayInWords(latestOn) })
      : tell('board-due-on', { on }),
    ...(trigger === null ? [] : [tell(`board-by-${trigger}`)]),
    ...(postponedUntil === null ? [] : [tell('board-postponed', { until: dayInWords(postponedUntil) })]),
  ];
}

/** What is left to the due point, and how sure that is. */
function whatIsLeft({ remaining, stale, needsReading, dueOn }: DueLine): string[] {
  const left = [remaining.distance, remaining.engineHours].flatMap((quantity: Quantity) => {
    if (quantity?.value === undefined) return [];
    const amount = quantityInWords({ ...quantity, value: Math.abs(quantity.value) });
    return quantity.value < 0 ? tell('board-over', { amount }) : tell('board-left', { amount });
  });
  if (stale) left.push(tell('board-stale'));
  else if (needsReading && dueOn !== null) left.push(tell('board-needs-reading'));
  return left;
}
