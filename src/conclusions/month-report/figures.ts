import type { FailedRow } from './failed-readings.queries.js';
import type { GroupKey } from './grouping.sql.js';
import type { MonthFigures } from './month-report.dto.js';
import type { DoneRow, RepeatRow } from './month-report.queries.js';

/** What was counted, in each of the three ways. */
export interface Counted {
  done: readonly DoneRow[];
  repeats: readonly RepeatRow[];
  failed: readonly FailedRow[];
}

type Figures<Row> = Omit<Row, keyof GroupKey>;

const NOTHING_DONE: Figures<DoneRow> = {
  ...{ done: 0, early: 0, inWindow: 0, inGrace: 0, late: 0 },
  ...{ medianDaysAfterDue: null, medianDaysLate: null, worstDaysLate: null },
};
const NOTHING_REPEATED: Figures<RepeatRow> = { work: 0, repeats: 0 };
const NOTHING_FAILED: Figures<FailedRow> = {
  ...{ failed: 0, closed: 0, closedOtherwise: 0, open: 0, medianDaysOpen: null, longestDaysOpen: null },
};

const share = (count: number, of: number): number | null => (of === 0 ? null : count / of);

/** The figures of a row without what it is counted in. */
function figuresIn<Row extends GroupKey>(
  rows: readonly Row[],
  { month, by, key }: Pick<GroupKey, 'month' | 'by' | 'key'>,
  nothing: Figures<Row>,
): Figures<Row> {
  const found = rows.find((row) => row.month === month && row.by === by && row.key === key);
  if (found === undefined) return nothing;
  const { month: _month, by: _by, key: _key, name: _name, ...figures } = found;
  return figures;
}

/** The figures of a month, or of one depot, component or duty in it. */
export function figuresOf(counted: Counted, at: Pick<GroupKey, 'month' | 'by' | 'key'>): MonthFigures {
  const done = figuresIn(counted.done, at, NOTHING_DONE);
  const repeatJobs = figuresIn(counted.repeats, at, NOTHING_REPEATED);
  return {
    ...done,
    shareInWindow: share(done.inWindow, done.done),
    shareInGrace: share(done.inGrace, done.done),
    repeatJobs: { ...repeatJobs, share: share(repeatJobs.repeats, repeatJobs.work) },
    failedReadings: figuresIn(counted.failed, at, NOTHING_FAILED),
  };
}

/** The groups of a month in which anything was counted, in order of their names. */
export function groupsIn({ done, repeats, failed }: Counted, month: string, by: GroupKey['by']): GroupKey[] {
  const found = new Map<string | null, GroupKey>();
  for (const row of [...done, ...repeats, ...failed])
    if (row.by === by && row.month === month) found.set(row.key, { month, by, key: row.key, name: row.name });
  const told = ({ key, name }: GroupKey): string => name ?? key ?? '\u{10FFFF}';
  return [...found.values()].sort((left, right) => (told(left) < told(right) ? -1 : 1));
}
