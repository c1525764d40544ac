import type { DueState } from '../../domain/intervals/types.js';

/**
 * SQL that computes a due line's state from its stored dates. `stateOf` in
 * `domain/conclusions/stored-line.ts` has the same rule in TypeScript. The rule exists nowhere
 * else.
 *
 * `day` is an SQL expression for today in the fleet's zone, such as `$2::date`. `line` is the alias
 * of `due_lines`.
 */

/**
 * True when the line is late on the day. Lateness that is based on an estimate lapses; later the
 * line may become late for good.
 */
export function isLate(day: string, line = 'l'): string {
  return `(${line}.late_on <= ${day} and (${line}.late_lapses_on is null or ${day} < ${line}.late_lapses_on or coalesce(${line}.late_for_good_on <= ${day}, false)))`;
}

/** The state on the day, as text. */
export function stateOnDay(day: string, line = 'l'): string {
  return `case when ${line}.no_baseline then 'no-baseline' when ${isLate(day, line)} then 'late' when ${line}.due_on <= ${day} then 'due' when ${line}.window_opens_on <= ${day} then 'window' else 'not-due' end`;
}

/**
 * True when an open line is in its window, due or late on the day.
 *
 * @param lead SQL expression for the fleet's greatest lead in days. It limits how much of the index
 * on `due_on` is read
 */
export function standsOnDay(day: string, lead: string, line = 'l'): string {
  return `(${line}.is_open and not ${line}.no_baseline and ${line}.due_on <= ${day} + ${lead} and ${line}.window_opens_on <= ${day})`;
}

/**
 * True when an open line is in the given state on the day. The condition also says what the state
 * means for `due_on`, so that PostgreSQL can use the index.
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
