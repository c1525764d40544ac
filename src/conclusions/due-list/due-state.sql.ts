import type { DueState } from '../../domain/intervals/types.js';

/**
 * How a due line's state is read off its stored dates, in SQL. `stateOf` in
 * `domain/conclusions/stored-line.ts` says the same in code, and nothing else does.
 *
 * `day` is an SQL expression for today in the fleet's zone, such as `$2::date`; `line` the alias of
 * `due_lines`.
 */

/**
 * True where the line is late on the day. Lateness that rests on an estimate lapses, and may come
 * back for good.
 */
export function isLate(day: string, line = 'l'): string {
  return `(${line}.late_on <= ${day} and (${line}.late_lapses_on is null or ${day} < ${line}.late_lapses_on or coalesce(${line}.late_for_good_on <= ${day}, false)))`;
}

/** The state on the day, as text. */
export function stateOnDay(day: string, line = 'l'): string {
  return `case when ${line}.no_baseline then 'no-baseline' when ${isLate(day, line)} then 'late' when ${line}.due_on <= ${day} then 'due' when ${line}.window_opens_on <= ${day} then 'window' else 'not-due' end`;
}

/**
 * True where an open line stands in its window, is due or late on the day.
 *
 * @param lead SQL expression for the fleet's greatest lead in days: it bounds what is read of the
 * index on `due_on`
 */
export function standsOnDay(day: string, lead: string, line = 'l'): string {
  return `(${line}.is_open and not ${line}.no_baseline and ${line}.due_on <= ${day} + ${lead} and ${line}.window_opens_on <= ${day})`;
}

/**
 * True where an open line is in the given state on the day, with what that implies for `due_on`
 * said to the planner.
 */
export function inStateOnDay(state: DueState, day: string, lead: string, line = 'l'): string {
  const open = `${line}.is_open and ${state === 'no-baseline' ? '' : 'not '}${line}.no_baseline`;
  switch (state) {
    case 'late':
      return `(${open} and ${line}.due_on <= ${day} and ${isLate(day, line)})`;
    case 'due':
      return `(${open} and ${line}.due_on <= ${day} and not ${isLate(day, line)})`;
    case 'window':
      return `(${open} and ${line}.due_on > ${day} and ${line}.due_on <= ${day} + ${lead} and ${line}.window_opens_on <= ${day})`;
    case 'not-due':
      return `(${open} and ${line}.due_on > ${day} and ${line}.window_opens_on > ${day})`;
    case 'no-baseline':
      return `(${open})`;
  }
}
