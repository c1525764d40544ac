import type { IntervalPlanDryRun } from './interval-plan.dto.js';
import type { LineOnDay } from './interval-plans.queries.js';

type Lines = ReadonlyMap<string, LineOnDay>;
type Compared = Omit<IntervalPlanDryRun, 'dryRun' | 'asOf'>;

/** How many of some lines have a property that their former or later selves lack. */
const count = (
  lines: Lines,
  others: Lines,
  isSo: (line: LineOnDay, other: LineOnDay | undefined) => boolean,
) => [...lines.values()].filter((line) => isSo(line, others.get(line.id))).length;

/** What a change does to lines. A line without a date counts as due after all others. */
export function linesCompared(before: Lines, after: Lines): Compared {
  return {
    wouldComeDue: count(after, before, (now, then) => now.isDue && then?.isDue !== true),
    wouldNotBeDue: count(before, after, (then, now) => then.isDue && now?.isDue !== true),
    wouldBecomeLate: count(after, before, (now, then) => now.isLate && then?.isLate !== true),
    wouldMoveEarlier: count(after, before, (now, then) => then !== undefined && isBefore(now, then)),
    wouldMoveLater: count(after, before, (now, then) => then !== undefined && isBefore(then, now)),
    wouldBegin: count(after, before, (_now, then) => then === undefined),
    wouldEnd: count(before, after, (_then, now) => now === undefined),
  };
}

/** Dates sort as text, and so does `infinity` after them. */
const isBefore = (line: LineOnDay, other: LineOnDay): boolean => line.dueOn < other.dueOn;
