const MS_PER_HOUR = 3_600_000;

/**
 * How long after the last value of a machine the next one is taken, in hours: while it changes, and
 * while it does not. Common practice, no source: work comes due by the day, and a vehicle that
 * stands still should not look forgotten.
 */
const CHANGED_AFTER_HOURS = 6;
const UNCHANGED_AFTER_HOURS = 24;

/** A value of a machine's counter, in km or h. `at`: epoch milliseconds. */
export interface SourceValue {
  at: number;
  value: number;
}

/**
 * Whether a value that a source sends is worth a usage reading. Sources send values every few
 * minutes, and one row for each would say nothing more. A value that went back may show a new
 * device and is worth one an hour, so that a counter that jitters does not fill the history. A
 * value older than the last is worth none.
 *
 * @param last the last value that was taken of this counter; null before the first
 * @example isWorthTaking({ at: 0, value: 100 }, { at: 3_600_000, value: 130 }) // false
 */
export function isWorthTaking(last: SourceValue | null, next: SourceValue): boolean {
  if (last === null) return true;
  if (next.at <= last.at) return next.at === last.at && next.value !== last.value;
  if (next.value < last.value) return next.at - last.at >= MS_PER_HOUR;
  const hours = next.value === last.value ? UNCHANGED_AFTER_HOURS : CHANGED_AFTER_HOURS;
  return next.at - last.at >= hours * MS_PER_HOUR;
}
