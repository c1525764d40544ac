import type { CivilDate, DueDates, DuePoint, DueState, NoBaseline } from './types.js';

/**
 * The state of a line on a day, from its stored days: `late` from `lateOn` (until that lapses with
 * a stale estimate), else `due` from `dueOn`, else `window` from `windowOpensOn`, else `not-due`.
 *
 * @example stateOn('2026-04-02', { windowOpensOn: '2026-03-01', dueOn: '2026-03-30', lateOn: '2026-04-13', lateLapsesOn: null, lateForGoodOn: null }) // 'due'
 */
export function stateOn(date: CivilDate, dates: DueDates): Exclude<DueState, 'no-baseline'> {
  if (isLate(date, dates)) return 'late';
  if (dates.dueOn !== null && date >= dates.dueOn) return 'due';
  return dates.windowOpensOn !== null && date >= dates.windowOpensOn ? 'window' : 'not-due';
}

/** What changes only with the date; computed when a line is read. */
export interface DueLineToday {
  state: DueState;
  /** Never before today for a limit not yet reached. */
  earliestOn: CivilDate | null;
  /** A usage limit is estimated from a reading more than 60 days old: needs a reading. */
  stale: boolean;
}

/**
 * Reads a stored line on a day.
 *
 * @example readDueLine(point, '2026-04-02').stale
 */
export function readDueLine(
  line: (DueDates & Pick<DuePoint, 'state' | 'earliestOn' | 'staleOn'>) | NoBaseline,
  today: CivilDate,
): DueLineToday {
  if (line.state === 'no-baseline') return { state: 'no-baseline', earliestOn: null, stale: false };
  const { earliestOn, dueOn, staleOn } = line;
  const isReached = dueOn !== null && dueOn <= today;
  return {
    state: stateOn(today, line),
    earliestOn: earliestOn !== null && !isReached && earliestOn < today ? today : earliestOn,
    stale: staleOn !== null && today >= staleOn,
  };
}

function isLate(date: CivilDate, { lateOn, lateLapsesOn, lateForGoodOn }: DueDates): boolean {
  if (lateForGoodOn !== null && date >= lateForGoodOn) return true;
  return lateOn !== null && date >= lateOn && (lateLapsesOn === null || date < lateLapsesOn);
}
