import { isSameCircuit } from '../vehicles/circuits.js';
import type { Action, WorkLine } from './types.js';

/** A new part makes every other attention to the old one moot. Common practice. */
const DONE_BY_REPLACING: readonly Action[] = ['replace', 'flush', 'inspect', 'test', 'adjust', 'clean'];

/**
 * Whether a job line restarts an interval. Any action resets its own kind; `replace` also `flush`,
 * `inspect`, `test`, `adjust` and `clean` of that component and item; a flush of coolant counts as
 * its replacement. A line or an interval without an item matches every item of the component. Work
 * in one circuit restarts nothing in another.
 *
 * @example resets({ component: 'coolant', action: 'flush', item: null }, { component: 'coolant', action: 'replace', item: null }) // true
 */
export function resets(line: WorkLine, rule: WorkLine): boolean {
  if (line.component !== rule.component || !isSameCircuit(line, rule)) return false;
  if (line.item !== null && rule.item !== null && line.item !== rule.item) return false;
  if (line.action === rule.action) return true;
  const counts = line.component === 'coolant' && line.action === 'flush' ? 'replace' : line.action;
  return counts === 'replace' && DONE_BY_REPLACING.includes(rule.action);
}

/**
 * The last job that restarted an interval, by when it was done, not by when it was reported; null
 * if none did. Of two at the same instant, the one with the greater id.
 */
export function lastReset<T extends { id: string; at: number; lines: readonly WorkLine[] }>(
  jobs: readonly T[],
  rule: WorkLine,
): T | null {
  let last: T | null = null;
  for (const job of jobs) {
    if (last !== null && (job.at < last.at || (job.at === last.at && job.id < last.id))) continue;
    if (job.lines.some((line) => resets(line, rule))) last = job;
  }
  return last;
}

/**
 * The key of a vehicle's line. It does not depend on plan or duty, so the line keeps its id when
 * they change.
 */
export function lineKey(line: WorkLine): string {
  const key = `${line.component}/${line.action}/${line.item ?? ''}`;
  return line.circuit == null ? key : `${key}/${line.circuit}`;
}
